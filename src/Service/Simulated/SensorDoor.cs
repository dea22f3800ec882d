using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using MQTTnet;
using MQTTnet.Formatter;
using Saltograph.Imu;
using Saltograph.Service.Recordings;
using Saltograph.Service.Security;

namespace Saltograph.Service.Simulated;

/// <summary>How sensors get into a broker: where it is, by which names and passwords, with TLS or without.</summary>
internal sealed record SensorDoor
{
    /// <summary>Host name or address.</summary>
    public required string Host { get; init; }

    /// <summary>Port.</summary>
    public required int Port { get; init; }

    /// <summary>One account for all sensors, as of a gateway; null: each by its own name.</summary>
    public string? UserName { get; init; }

    /// <summary>Password of that account; null for none.</summary>
    public string? Password { get; init; }

    /// <summary>Passwords by sensor; a sensor that is not among them shows none.</summary>
    public IReadOnlyDictionary<string, string> Passwords { get; init; } = new Dictionary<string, string>(StringComparer.Ordinal);

    /// <summary>Authorities that may have issued the broker's certificate; null: no TLS.</summary>
    public X509Certificate2Collection? Authorities { get; init; }

    /// <summary>What a sensor connects with.</summary>
    public MqttClientOptionsBuilder Options(SensorId sensor)
    {
        var builder = new MqttClientOptionsBuilder().WithTcpServer(Host, Port).WithClientId(sensor.Value).WithProtocolVersion(MqttProtocolVersion.V500);
        if (UserName is not null)
        {
            builder = builder.WithCredentials(UserName, Password ?? "");
        }
        else if (Passwords.TryGetValue(sensor.Value, out var password))
        {
            builder = builder.WithCredentials(sensor.Value, password);
        }

        return Authorities is null ? builder : builder.WithTlsOptions(tls => tls
            .UseTls()
            .WithTargetHost(Host)
            .WithSslProtocols(SslProtocols.Tls12 | SslProtocols.Tls13)
            .WithTrustChain(Authorities)
            .WithRevocationMode(X509RevocationMode.NoCheck)); // an authority of one's own has no such list
    }

    /// <summary>Reads passwords: a line for each sensor, its name, blanks, its password; empty lines and those that begin with # count for nothing.</summary>
    /// <param name="file">The file.</param>
    /// <param name="passwords">By sensor; null when there is a fault.</param>
    /// <returns>What is wrong, or null. A password is never repeated.</returns>
    public static InputFault? ReadPasswords(string file, out IReadOnlyDictionary<string, string>? passwords)
    {
        passwords = null;
        var found = new Dictionary<string, string>(StringComparer.Ordinal);
        try
        {
            var number = 0;
            foreach (var line in File.ReadLines(file))
            {
                number++;
                var parts = line.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
                if (parts is [] || parts[0].StartsWith('#'))
                {
                    continue;
                }

                if (parts.Length != 2 || !IdText.IsValid(parts[0]))
                {
                    return new(file, $"{parts.Length} words", "a sensor and its password with blanks between", number);
                }

                if (!found.TryAdd(parts[0], parts[1]))
                {
                    return new(file, $"'{parts[0]}' a second time", "each sensor once", number);
                }
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return new(file, problem.Message.TrimEnd('.'), "a readable file with a line for each sensor");
        }

        passwords = found;
        return null;
    }

    /// <summary>Reads authorities.</summary>
    /// <param name="file">PEM.</param>
    /// <param name="authorities">The certificates; null when there is a fault.</param>
    public static InputFault? ReadAuthorities(string file, out X509Certificate2Collection? authorities)
    {
        authorities = null;
        try
        {
            authorities = BrokerTls.Authorities(file);
            return null;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or System.Security.Cryptography.CryptographicException)
        {
            return new(file, problem.Message.TrimEnd('.'), "PEM with at least one certificate");
        }
    }
}

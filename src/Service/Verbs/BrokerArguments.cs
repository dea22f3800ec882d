using System.CommandLine;
using System.Globalization;
using Saltograph.Service.Configuration;
using Saltograph.Service.Recordings;
using Saltograph.Service.Simulated;

namespace Saltograph.Service.Verbs;

/// <summary>Options of a verb that publishes as sensors do: the broker, accounts there, TLS.</summary>
internal sealed class BrokerArguments
{
    private readonly Option<string> _broker = new("--broker") { Description = "Broker to publish to, as sensors do.", HelpName = "HOST:PORT" };
    private readonly Option<string> _passwords = new("--passwords") { Description = "File with a line for each sensor, its name and its password at the broker, with --broker.", HelpName = "FILE" };
    private readonly Option<string> _user = new("--user") { Description = $"One account for all sensors, with --broker; its password in the environment variable {ConfigurationFolder.PasswordVariable}.", HelpName = "NAME" };
    private readonly Option<string> _authority = new("--authority") { Description = "TLS; the broker's certificate is of an authority in this file (PEM), with --broker.", HelpName = "FILE" };

    /// <summary>Adds them to a verb.</summary>
    public void AddTo(Command verb)
    {
        foreach (var option in (Option[])[_broker, _passwords, _user, _authority])
        {
            verb.Add(option);
        }

        verb.Validators.Add(result =>
        {
            if (result.GetValue(_broker) is null && (result.GetValue(_passwords) ?? result.GetValue(_user) ?? result.GetValue(_authority)) is not null)
            {
                result.AddError("Found --passwords, --user or --authority without --broker; allowed: with it.");
            }

            if (result.GetValue(_passwords) is not null && result.GetValue(_user) is not null)
            {
                result.AddError("Found both --passwords and --user; allowed: one of them.");
            }
        });
    }

    /// <summary>The option that names the broker.</summary>
    public Option<string> Broker => _broker;

    /// <summary>Reads them.</summary>
    /// <param name="arguments">The command line, with a broker.</param>
    /// <param name="door">How sensors get in; null when there is a fault.</param>
    /// <returns>What is wrong, or null.</returns>
    public InputFault? Read(ParseResult arguments, out SensorDoor? door)
    {
        door = null;
        var broker = arguments.GetRequiredValue(_broker);
        var parts = broker.Split(':');
        if (parts.Length != 2 || parts[0].Length == 0 || !int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out var port) || port is < 1 or > 65_535)
        {
            return new("--broker", $"'{broker}'", "HOST:PORT with a port from 1 to 65535");
        }

        var found = new SensorDoor
        {
            Host = parts[0],
            Port = port,
            UserName = arguments.GetValue(_user),
            Password = Environment.GetEnvironmentVariable(ConfigurationFolder.PasswordVariable),
        };
        if (arguments.GetValue(_passwords) is { } passwordFile)
        {
            if (SensorDoor.ReadPasswords(passwordFile, out var passwords) is { } fault)
            {
                return fault;
            }

            found = found with { Passwords = passwords! };
        }

        if (arguments.GetValue(_authority) is { } authorityFile)
        {
            if (SensorDoor.ReadAuthorities(authorityFile, out var authorities) is { } fault)
            {
                return fault;
            }

            found = found with { Authorities = authorities };
        }

        door = found;
        return null;
    }
}

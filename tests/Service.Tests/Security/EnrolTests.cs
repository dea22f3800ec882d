using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using System.Text.RegularExpressions;
using Microsoft.Extensions.DependencyInjection;
using MQTTnet;
using Saltograph.Service.Configuration;
using Saltograph.Service.Hosting;
using Saltograph.Service.Security;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Security;

public sealed class EnrolTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();
    private readonly TestCertificates _certificates = new();

    public EnrolTests()
    {
        foreach (var file in new[] { "roster.json", "thresholds.json" })
        {
            File.Copy(Path.Combine(Repository.Root, "config", file), _folder.File(file));
        }

        _folder.Write("service.json", "{ \"hall\": \"test-hall\" }");
        _certificates.WriteAuthority(_folder.File("authority.crt"));
        _certificates.WriteServer(_folder.File("server.crt"), _folder.File("server.key"));
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_secret_is_shown_once_and_only_its_hash_is_kept_where_nobody_else_reads()
    {
        var secret = await EnrolAsync("amber-trunk");
        var kept = Directory.GetFiles(_folder.Root, "*", SearchOption.AllDirectories).Where(file => !file.EndsWith("server.key", StringComparison.Ordinal)).ToList();
        Assert.All(kept, file => Assert.DoesNotContain(secret, File.ReadAllText(file), StringComparison.Ordinal));
        Assert.Empty(AccountFile.Read(_folder.File("credentials.json"), out var accounts));
        Assert.True(SecretHash.IsRight(secret, accounts!.Single().Hash));
        Assert.False(SecretHash.IsRight(secret + "a", accounts!.Single().Hash));
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(_folder.File("credentials.json")));
        }
    }

    // 160 bits: NIST SP 800-63B and OWASP ASVS 5.0 ask for 128 for what machines keep (from memory).
    [Fact]
    public void A_secret_has_32_characters_of_an_alphabet_of_32_and_is_never_the_same()
    {
        var secrets = Enumerable.Range(0, 1000).Select(_ => SecretHash.NewSecret()).ToList();
        Assert.All(secrets, secret => Assert.Matches("^[a-km-np-z2-9]{32}$", secret));
        Assert.Equal(32, secrets.SelectMany(secret => secret).Distinct().Count());
        Assert.Equal(1000, secrets.Distinct(StringComparer.Ordinal).Count());
    }

    [Fact]
    public async Task A_new_sensor_gets_its_place_in_the_roster_and_the_remarks_above_it_stay()
    {
        await EnrolAsync("beryl-left", "--athlete", "beryl", "--site", "ankle-left");
        Assert.Empty(ConfigurationFolder.Load(_folder.Root, null, out var configuration));
        Assert.Contains(configuration!.Roster.Sensors, entry => entry is { Sensor: "beryl-left", Athlete: "beryl", Site: "ankle-left" });
        Assert.StartsWith("// Which sensor", await File.ReadAllTextAsync(_folder.File("roster.json"), Stop), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("'Amber 1'; allowed: 1 to 32 characters", "enrol", "Amber 1")]
    [InlineData("'amber-trunk', which has an account", "enrol", "amber-trunk")]
    [InlineData("a second sensor on amber at trunk", "enrol", "new", "--athlete", "amber", "--site", "trunk")]
    [InlineData("found 'knee'", "enrol", "new", "--athlete", "amber", "--site", "knee")]
    [InlineData("--athlete and --site", "enrol", "new", "--athlete", "amber")]
    [InlineData("'somebody', which has no account; allowed: amber-trunk", "revoke", "somebody")]
    public async Task What_is_wrong_ends_with_2_and_changes_nothing(string message, params string[] arguments)
    {
        await EnrolAsync("amber-trunk");
        var before = Directory.GetFiles(_folder.Root, "*.json").Select(File.ReadAllText).ToList();
        var run = await Cli.RunAsync([.. arguments, "--config", _folder.Root]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
        Assert.Equal(before, Directory.GetFiles(_folder.Root, "*.json").Select(File.ReadAllText), StringComparer.Ordinal);
    }

    [Fact]
    public async Task A_revoked_sensor_loses_its_connection_and_does_not_come_back()
    {
        var secret = await EnrolAsync("amber-trunk");
        await using var host = await StartAsync();
        using var sensor = new MqttClientFactory().CreateMqttClient();
        var ended = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        sensor.DisconnectedAsync += _ =>
        {
            ended.TrySetResult();
            return Task.CompletedTask;
        };
        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(sensor, host.MqttPort, "amber-trunk", secret));
        Assert.Equal(0, (await Cli.RunAsync("revoke", "amber-trunk", "--config", _folder.Root)).ExitCode);
        await host.Services.GetRequiredService<BrokerAccess>().RefreshAsync();
        await ended.Task.WaitAsync(TimeSpan.FromSeconds(30), Stop);
        using var again = new MqttClientFactory().CreateMqttClient();
        Assert.Equal(MqttClientConnectResultCode.BadUserNameOrPassword, await ConnectAsync(again, host.MqttPort, "amber-trunk", secret));
    }

    [Theory]
    [InlineData("amber-trunk", true, MqttClientConnectResultCode.Success)]
    [InlineData("beryl-trunk", true, MqttClientConnectResultCode.BadUserNameOrPassword)] // of the authority, but nobody enrolled it
    [InlineData("amber-trunk", false, null)] // of another authority: the connection is not even made
    public async Task A_client_certificate_of_the_authority_stands_for_the_secret(string name, bool isOfAuthority, MqttClientConnectResultCode? expected)
    {
        await EnrolAsync("amber-trunk", "--certificate");
        await using var host = await StartAsync();
        using var strangers = new TestCertificates();
        using var certificate = (isOfAuthority ? _certificates : strangers).Client(name);
        using var client = new MqttClientFactory().CreateMqttClient();
        MqttClientConnectResultCode? found = null;
        try
        {
            found = await ConnectAsync(client, host.MqttPort, name, null, certificate);
        }
        catch (MQTTnet.Exceptions.MqttCommunicationException) when (expected is null)
        {
        }

        Assert.Equal(expected, found);
    }

#pragma warning disable CA5398, SYSLIB0039, CA5397 // that old versions are refused is what is tested
    [Theory]
    [InlineData(SslProtocols.Tls12, true)]
    [InlineData(SslProtocols.Tls13, true)]
    [InlineData(SslProtocols.Tls11, false)]
    [InlineData(SslProtocols.None, false)] // no TLS at all
    public async Task Only_tls_1_2_and_1_3_are_spoken(SslProtocols version, bool isSpoken)
    {
        var secret = await EnrolAsync("amber-trunk");
        await using var host = await StartAsync();
        using var client = new MqttClientFactory().CreateMqttClient();
        var problem = await Record.ExceptionAsync(() => ConnectAsync(client, host.MqttPort, "amber-trunk", secret, version: version));
        Assert.Equal(isSpoken, problem is null);
    }
#pragma warning restore CA5398, SYSLIB0039, CA5397

    public void Dispose()
    {
        _certificates.Dispose();
        _folder.Dispose();
    }

    private async Task<string> EnrolAsync(string name, params string[] more)
    {
        var run = await Cli.RunAsync(["enrol", name, "--config", _folder.Root, .. more]);
        Assert.True(run.ExitCode == 0, run.Error);
        return Regex.Match(run.Out, "password +(?<secret>\\S{32})", RegexOptions.ExplicitCapture, TimeSpan.FromSeconds(1)).Groups["secret"].Value;
    }

    private Task<HallHost> StartAsync() => TestHall.StartAsync(
        TestHall.Options() with
        {
            Broker = new() { EmbeddedBroker = new() { Port = 0, CertificateFile = "server.crt", CertificateKeyFile = "server.key", ClientAuthorityFile = "authority.crt" } },
        },
        data: _folder.Root);

    private async Task<MqttClientConnectResultCode> ConnectAsync(
        IMqttClient client, int port, string name, string? secret, X509Certificate2? certificate = null, SslProtocols version = SslProtocols.Tls12 | SslProtocols.Tls13)
    {
        var builder = new MqttClientOptionsBuilder().WithTcpServer("localhost", port).WithClientId(name).WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500)
            .WithTimeout(TimeSpan.FromSeconds(10));
        if (version != SslProtocols.None)
        {
            builder = builder.WithTlsOptions(tls => tls.UseTls().WithTargetHost("localhost").WithSslProtocols(version).WithTrustChain([_certificates.Authority])
                .WithRevocationMode(X509RevocationMode.NoCheck).WithClientCertificates(certificate is null ? [] : [certificate]));
        }

        return (await client.ConnectAsync((secret is null ? builder : builder.WithCredentials(name, secret)).Build(), Stop)).ResultCode;
    }
}

using System.Text;
using System.Text.RegularExpressions;
using Saltograph.Service.Simulated;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Service.Tests.Security;
using Saltograph.Simulator.Network;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Verbs;

/// <summary>Simulated sensors at a Mosquitto with the shipped configuration: TLS, an account for each sensor, its own topics only.</summary>
public sealed class SimulateToClosedBrokerTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();
    private readonly TestCertificates _certificates = new();

    [Fact]
    public async Task With_passwords_and_authority_a_simulated_training_arrives_and_without_them_it_does_not()
    {
        var simulated = new SimulatedHall(new() { Seed = 3, AthleteCount = 1, DurationS = 8 }, NetworkOptions.Faultless, new(TestHall.Hall));
        await WriteConfigurationAsync(simulated);
        var passwords = new StringBuilder("# of the simulated sensors\n");
        foreach (var sensor in simulated.Sensors)
        {
            passwords.Append(sensor.Value).Append("  ").AppendLine(await EnrolAsync(sensor.Value));
        }

        var service = await EnrolAsync("saltograph", "--kind", "service");
        _folder.Write("passwords.txt", passwords.ToString());
        await using var broker = await Mosquitto.StartShippedAsync(_folder);
        var options = TestHall.Options(broker.Port);
        options = options with { Broker = options.Broker with { ExternalBroker = options.Broker.ExternalBroker with { UserName = "saltograph", AuthorityFile = "authority.crt", Host = "localhost" } } };
        await using var host = await TestHall.StartAsync(options, scripted: false, roster: simulated.Roster, data: _folder.Root, brokerPassword: service);
        await MosquittoHallTests.ReadyAsync(host);

        string[] simulate = ["simulate", "--broker", $"localhost:{broker.Port}", "--hall", TestHall.Hall, "--seed", "3", "--duration", "8", "--speed", "20", "--no-faults"];
        var run = await Cli.RunAsync([.. simulate, "--passwords", _folder.File("passwords.txt"), "--authority", _folder.File("authority.crt")]);
        Assert.True(run.ExitCode == 0, run.Error);
        using var http = new HttpClient { BaseAddress = new(host.Address) };
        var metrics = await http.GetStringAsync(new Uri("/metrics", UriKind.Relative), TestContext.Current.CancellationToken);
        var received = Regex.Matches(metrics, "^saltograph_packets_taken[^ ]* (?<count>[0-9]+)", RegexOptions.Multiline | RegexOptions.ExplicitCapture, TimeSpan.FromSeconds(1));
        Assert.True(received.Sum(match => int.Parse(match.Groups["count"].Value, System.Globalization.CultureInfo.InvariantCulture)) > 100, metrics);

        // The right password of nobody; no password; no TLS; another authority.
        _folder.Write("wrong.txt", passwords.ToString().Replace("  ", "  x", StringComparison.Ordinal));
        using var strangers = new TestCertificates();
        strangers.WriteAuthority(_folder.File("strangers.crt"));
        foreach (var way in (string[][])[
            ["--passwords", _folder.File("wrong.txt"), "--authority", _folder.File("authority.crt")],
            ["--authority", _folder.File("authority.crt")],
            ["--passwords", _folder.File("passwords.txt")],
            ["--passwords", _folder.File("passwords.txt"), "--authority", _folder.File("strangers.crt")]])
        {
            run = await Cli.RunAsync([.. simulate, .. way]);
            Assert.True(run.ExitCode == 1, $"{string.Join(' ', way)}: {run.ExitCode} {run.Error}");
            Assert.Contains($"localhost:{broker.Port} failed", run.Error, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("a-trunk\n", "line 1: found 1 words; allowed: a sensor and its password")]
    [InlineData("# mine\na-trunk one\na-trunk two\n", "line 3: found 'a-trunk' a second time")]
    [InlineData("A_Trunk secret-thing\n", "line 1: found 2 words")]
    public async Task A_wrong_password_file_ends_with_2_and_tells_no_password(string text, string message)
    {
        var run = await Cli.RunAsync("simulate", "--broker", "localhost:1883", "--passwords", _folder.Write("passwords.txt", text));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("secret-thing", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--passwords", "nowhere.txt")]
    [InlineData("--authority", "nowhere.crt")]
    [InlineData("--passwords", "nowhere.txt", "--user", "gateway")]
    public async Task Options_that_do_not_go_together_or_files_that_are_not_there_end_with_2(params string[] options)
    {
        var run = await Cli.RunAsync(["simulate", "--broker", "localhost:1883", .. options]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("allowed", run.Error, StringComparison.Ordinal);
    }

    public void Dispose()
    {
        _folder.Dispose();
        _certificates.Dispose();
    }

    private async Task WriteConfigurationAsync(SimulatedHall simulated)
    {
        File.Copy(Path.Combine(Repository.Root, "config", "thresholds.json"), _folder.File("thresholds.json"));
        _folder.Write("service.json", $"{{ \"hall\": \"{TestHall.Hall}\" }}");
        await File.WriteAllTextAsync(_folder.File("roster.json"), simulated.RosterJson(), TestContext.Current.CancellationToken);
        _certificates.WriteAuthority(_folder.File("authority.crt"));
        _certificates.WriteServer(_folder.File("server.crt"), _folder.File("server.key"));
    }

    private async Task<string> EnrolAsync(string name, params string[] more)
    {
        var run = await Cli.RunAsync(["enrol", name, "--config", _folder.Root, .. more]);
        Assert.True(run.ExitCode == 0, run.Error);
        return Regex.Match(run.Out, "password +(?<secret>\\S{32})", RegexOptions.ExplicitCapture, TimeSpan.FromSeconds(1)).Groups["secret"].Value;
    }
}

using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text.RegularExpressions;
using Saltograph.Service.Configuration;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Configuration;

public sealed partial class ConfigurationTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    private static string Shipped => Path.Combine(Repository.Root, "config");

    [Fact]
    public void The_shipped_folder_is_read_without_a_fault_and_holds_the_defaults()
    {
        Assert.Empty(ConfigurationFolder.Load(Shipped, null, out var configuration));
        Assert.Equal(new ServiceOptions(), configuration!.Service);
        Assert.Equal(new ThresholdOptions(), configuration.Thresholds);
        Assert.NotEmpty(configuration.Roster.Sensors);
    }

    [Fact]
    public void Every_configuration_file_of_the_repository_is_read_without_a_fault()
    {
        foreach (var file in Directory.GetFiles(Repository.Root, "*.json", SearchOption.AllDirectories)
            .Where(file => Path.GetDirectoryName(file) is { } folder && (folder == Shipped || folder == Path.Combine(Repository.Root, "docker"))))
        {
            var fault = Path.GetFileName(file) switch
            {
                ConfigurationFolder.ServiceFile => ConfigurationFile.Read<ServiceOptions>(file, out var service) ?? ServiceOptionsRules.Faults(service!, file).FirstOrDefault(),
                ConfigurationFolder.RosterFile => ConfigurationFile.Read<RosterOptions>(file, out var roster) ?? Roster.Faults(roster!, file).FirstOrDefault(),
                ConfigurationFolder.ThresholdsFile => ConfigurationFile.Read<ThresholdOptions>(file, out var thresholds) ?? thresholds!.Faults(file).FirstOrDefault(),
                ConfigurationFolder.WarningsFile => WarningRulesFile.Read(file, out _) is [var wrong, ..] ? wrong : null,
                _ => new(file, "a file that no test binds", "a case in this test"),
            };
            Assert.Null(fault);
        }
    }

    [Fact]
    public void The_page_that_explains_the_keys_has_each_with_its_default_and_no_other()
    {
        var explained = KeyRow().Matches(File.ReadAllText(Path.Combine(Shipped, "README.md")))
            .Select(row => (row.Groups["key"].Value, row.Groups["default"].Value)).Order().ToArray();
        (string, string)[] known =
        [
            .. Keys(new ServiceOptions(), ""),
            .. Keys(new ThresholdOptions(), ""),
            ("accounts[].name", "none"), ("accounts[].kind", "none"), ("accounts[].hash", "none"),
            ("sensors[].sensor", "none"), ("sensors[].athlete", "none"), ("sensors[].site", "none"),
        ];
        Assert.Equal(string.Join('\n', known.Order().Select(Normal)), string.Join('\n', explained.Select(Normal)));

        static string Normal((string Key, string Default) row) =>
            double.TryParse(row.Default, NumberStyles.Float, CultureInfo.InvariantCulture, out var number)
                ? string.Create(CultureInfo.InvariantCulture, $"{row.Key} {number}")
                : $"{row.Key} {row.Default.ToLowerInvariant()}";
    }

    [Theory]
    [InlineData("service.json", "{ \"hal\": \"x\" }", "service.json, line 1, hal: found The JSON property 'hal' could not be mapped")]
    [InlineData("service.json", "{\n \"hall\": 5 }", "service.json, line 2, hall: found The JSON value could not be converted")]
    [InlineData("service.json", "{ \"hall\": \"x\", \"hall\": \"y\" }", "service.json, line 1")]
    [InlineData("service.json", "{ \"hall\": null }", "service.json, line 1, hall")]
    [InlineData("service.json", "{ \"hall\": \"Main Hall\" }", "service.json, hall: found 'Main Hall'; allowed: 1 to 32 characters a-z, 0-9 or -.")]
    [InlineData("service.json", "{ \"timeZone\": \"Moon\" }", "service.json, timeZone: found 'Moon'; allowed: an IANA time zone")]
    [InlineData("service.json", "{ \"broker\": { \"kind\": \"none\" } }", "service.json, broker.kind: found 'none'; allowed: embedded or external.")]
    [InlineData("service.json", "{ \"http\": { \"port\": 70000 } }", "service.json, http.port: found '70000'; allowed: 0 to 65535.")]
    [InlineData("service.json", "{ \"broker\": { \"kind\": \"external\" }, \"limits\": { \"athletePackets\": 100 } }", "service.json, broker.externalBroker.receiveMaximum: found '256'; allowed: at most limits.athletePackets")]
    [InlineData("roster.json", "{ \"sensors\": [ { \"sensor\": \"s\", \"athlete\": \"a\" } ] }", "roster.json, line 1, sensors[0]")]
    [InlineData("roster.json", "{ \"sensors\": [ { \"sensor\": \"s\", \"athlete\": \"a\", \"site\": \"knee\" } ] }", "roster.json, sensors[0].site: found 'knee'; allowed: trunk, ankle-left or ankle-right.")]
    [InlineData("roster.json", "{ \"sensors\": [ { \"sensor\": \"s\", \"athlete\": \"Anna B\", \"site\": \"trunk\" } ] }", "roster.json, sensors[0].athlete: found 'Anna B'; allowed: 1 to 32 characters")]
    [InlineData("thresholds.json", "{ \"pipeline\": { \"motion\": { \"jumps\": { \"minimumFlightTimeS\": 3 } } } }", "MinimumFlightTimeS is 3; allowed: 0.1 to 0.5")]
    [InlineData("roster.json", "{ \"sensors\": [ null ] }", "roster.json, sensors[0]: found null; allowed: an object with sensor, athlete and site.")]
    [InlineData("roster.json", "{ \"sensors\": [ { \"sensor\": \"s\", \"athlete\": \"a\", \"site\": \"ankle-left\" } ] }", "roster.json, sensors[0].athlete: found 'a' with ankle-left only; allowed: a trunk sensor for each athlete.")]
    [InlineData("service.json", "{ \"broker\": { \"embeddedBroker\": { \"largestPacketBytes\": 16384 } } }", "broker.embeddedBroker.largestPacketBytes: found '16384'; allowed: 17000 to 1048576.")]
    [InlineData("thresholds.json", "[", "thresholds.json, line 1")]
    public void A_wrong_file_ends_the_start_with_place_found_and_allowed(string name, string text, string message)
    {
        foreach (var file in new[] { "service.json", "roster.json", "thresholds.json" })
        {
            File.Copy(Path.Combine(Shipped, file), _folder.File(file), overwrite: true);
        }

        _folder.Write(name, text);
        var faults = ConfigurationFolder.Load(_folder.Root, null, out var configuration);
        Assert.Contains(message, Assert.Single(faults).ToString(), StringComparison.Ordinal);
        Assert.Null(configuration);
    }

    [Fact]
    public void A_sensor_twice_and_a_site_twice_are_both_told()
    {
        RosterEntry entry = new() { Sensor = "s", Athlete = "a", Site = "trunk" };
        var faults = Roster.Faults(new() { Sensors = [entry, entry] }, "roster.json").Select(fault => fault.Column);
        Assert.Equal("sensors[1].sensor sensors[1].site", string.Join(' ', faults));
    }

    [Fact]
    public async Task The_verb_serve_refuses_a_missing_folder_with_2_and_names_every_file()
    {
        var run = await Cli.RunAsync("serve", "--config", _folder.File("nowhere"));
        Assert.Equal(2, run.ExitCode);
        Assert.Equal(3, run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
    }

    public void Dispose() => _folder.Dispose();

    private static IEnumerable<(string Key, string Default)> Keys(object options, string prefix)
    {
        foreach (var property in options.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(property => property.CanWrite))
        {
            var key = prefix + char.ToLowerInvariant(property.Name[0]) + property.Name[1..];
            var value = property.GetValue(options)!;
            if (value is string or bool or int or double or IEnumerable)
            {
                var text = string.Create(CultureInfo.InvariantCulture, $"{value}");
                yield return (key, text.Length == 0 ? "(empty)" : text);
            }
            else
            {
                foreach (var inner in Keys(value, key + "."))
                {
                    yield return inner;
                }
            }
        }
    }

    [GeneratedRegex("^\\| `(?<key>[^`]+)` \\| (?<default>[^|]+) \\|", RegexOptions.Multiline | RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex KeyRow();
}

using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;
using Saltograph.Service.Simulated;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Simulator.Network;
using Saltograph.Store;
using Saltograph.Store.Recordings;
using Saltograph.Store.Rows;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Durability;

/// <summary>Recordings of simulated trainings, measured again: the same jumps and totals, on both engines, in any order, with the verb too.</summary>
public sealed class ReplayTests : IDisposable
{
    private static readonly bool IsLong = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1";

    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_week_measured_again_gives_identical_jumps_and_totals_on_both_engines()
    {
        Assert.SkipWhen(PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        Record(days: IsLong ? 7 : 2, athletes: IsLong ? 12 : 3, durationS: IsLong ? 60 : 40);
        await using var server = await PostgresServer.StartAsync();
        await using var embedded = await HallStore.OpenAsync(new() { File = _folder.File("one.db") }, Stop);
        await using var postgres = await HallStore.OpenAsync(new() { Kind = StoreOptions.PostgreSql, Host = "127.0.0.1", Port = server.Port }, Stop);
        await using var backwards = await HallStore.OpenAsync(new() { File = _folder.File("backwards.db") }, Stop);
        var recordings = RecordingFiles.All(_folder.File("recordings")).ToList();
        foreach (var recording in recordings)
        {
            var jumps = await new RecordingReplay(recording).IntoAsync(embedded, new(TimeZoneInfo.Utc), Stop);
            Assert.Equal(jumps, await new RecordingReplay(recording).IntoAsync(postgres, new(TimeZoneInfo.Utc), Stop));
            Assert.Equal(0, await new RecordingReplay(recording).IntoAsync(postgres, new(TimeZoneInfo.Utc), Stop)); // a second time adds nothing
        }

        foreach (var recording in Enumerable.Reverse(recordings))
        {
            await new RecordingReplay(recording).IntoAsync(backwards, new(TimeZoneInfo.Utc), Stop);
        }

        var expected = await JumpsAsync(embedded);
        Assert.True(expected.Count >= 8, $"only {expected.Count} jumps: too few to show anything");
        Assert.Equal(expected, await JumpsAsync(postgres));

        // The class of a landing is among those before it: newest first there are others before it.
        Assert.Equal(expected.Select(jump => jump with { LandingClass = null }), (await JumpsAsync(backwards)).Select(jump => jump with { LandingClass = null }));
        Assert.Equal(await embedded.Load.DaysAsync(null, "2027-01-01", "2027-12-31", Stop), await backwards.Load.DaysAsync(null, "2027-01-01", "2027-12-31", Stop));
        Assert.Equal(await embedded.Load.DaysAsync(null, "2027-01-01", "2027-12-31", Stop), await postgres.Load.DaysAsync(null, "2027-01-01", "2027-12-31", Stop));
        Assert.Equal(await embedded.Load.PointsAsync(null, "2027-01-01", "2027-12-31", Stop), await postgres.Load.PointsAsync(null, "2027-01-01", "2027-12-31", Stop));
        Assert.Equal(await embedded.Sessions.OverlappingAsync(null, 0, long.MaxValue, Stop), await postgres.Sessions.OverlappingAsync(null, 0, long.MaxValue, Stop));
    }

    [Fact]
    public async Task The_verb_writes_the_same_records_and_events_each_time()
    {
        Record(days: 1, athletes: 1, durationS: 40);
        string[] texts = ["", ""];
        for (var time = 0; time < 2; time++)
        {
            var run = await Cli.RunAsync("replay", _folder.File("recordings"), "--output", _folder.File("jumps.jsonl"), "--events", _folder.File("events.jsonl"));
            Assert.Equal(0, run.ExitCode);
            texts[time] = await File.ReadAllTextAsync(_folder.File("jumps.jsonl"), Stop) + await File.ReadAllTextAsync(_folder.File("events.jsonl"), Stop);
        }

        Assert.Equal(texts[0], texts[1]);
        var ids = (await File.ReadAllLinesAsync(_folder.File("events.jsonl"), Stop)).Select(line => JsonDocument.Parse(line).RootElement.GetProperty("id").GetString()!).ToList();
        var jumps = (await File.ReadAllLinesAsync(_folder.File("jumps.jsonl"), Stop)).Length;
        Assert.InRange(jumps, 1, 1000);
        Assert.Equal(jumps, ids.Count(id => id.EndsWith(".jump", StringComparison.Ordinal)));
        Assert.Equal(ids.Count, ids.Distinct(StringComparer.Ordinal).Count());
    }

    // A cap of 1 g calls every measured landing hard from the first on; the proposed rules call the first twenty of a kind "learning".
    [Theory]
    [InlineData("""{ "landings": { "ankleCapG": 1 } }""", "hard")]
    [InlineData("{ }", "learning")]
    public async Task The_verb_classifies_landings_by_the_rules_of_the_hall(string rules, string expected)
    {
        Record(days: 1, athletes: 1, durationS: 40);
        _folder.Write("service.json", "{ \"hall\": \"test-hall\" }");
        _folder.Write("roster.json", """{ "sensors": [ { "sensor": "a-trunk", "athlete": "amber", "site": "trunk" } ] }""");
        _folder.Write("thresholds.json", "{ }");
        _folder.Write("warnings.json", rules);
        var run = await Cli.RunAsync("replay", _folder.File("recordings"), "--config", _folder.Root, "--events", _folder.File("events.jsonl"));
        Assert.True(run.ExitCode == 0, run.Error);
        await using var store = await HallStore.OpenAsync(new() { File = _folder.File("data/saltograph.db") }, Stop);
        var measured = (await JumpsAsync(store)).Where(row => row.LandingFoot is "left" or "right" && (row.LandingFoot == "left" ? row.ShockAnkleLeftG : row.ShockAnkleRightG) is not null).ToList();
        Assert.NotEmpty(measured);
        Assert.All(measured.Where(row => row.LandingClass != "saturated"), row => Assert.Equal(expected, row.LandingClass));
        Assert.Contains(measured, row => row.LandingClass == expected);

        // The events tell the same classes.
        var told = (await File.ReadAllLinesAsync(_folder.File("events.jsonl"), Stop)).Select(line => JsonElement.Parse(line))
            .Where(message => message.TryGetProperty("landingclass", out _))
            .ToDictionary(message => message.GetProperty("id").GetString()!, message => message.GetProperty("landingclass").GetString(), StringComparer.Ordinal);
        Assert.Equal((await JumpsAsync(store)).ToDictionary(row => row.Id, row => row.LandingClass, StringComparer.Ordinal), told);
    }

    [Fact]
    public async Task The_verb_refuses_what_is_no_recording_and_a_call_without_a_way_out()
    {
        var text = _folder.Write("notes.cborseq", "not a recording");
        var run = await Cli.RunAsync("replay", text, "--output", _folder.File("jumps.jsonl"));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("notes.cborseq: found no recording; allowed: a file of a recording", run.Error, StringComparison.Ordinal);
        Assert.Equal(2, (await Cli.RunAsync("replay", text)).ExitCode);
    }

    public void Dispose() => _folder.Dispose();

    private static async Task<List<JumpRow>> JumpsAsync(HallStore store) => [.. (await store.Jumps.PageAsync(new() { Limit = 10_000 }, Stop)).Jumps];

    [Fact]
    public async Task Sealed_recordings_are_replayed_with_the_keys_of_their_store_and_not_without()
    {
        foreach (var file in new[] { "roster.json", "thresholds.json" })
        {
            File.Copy(Path.Combine(Repository.Root, "config", file), _folder.File(file));
        }

        _folder.Write("service.json", "{ \"hall\": \"test-hall\" }");
        Assert.Empty(ConfigurationFolder.Load(_folder.Root, null, out var configuration));
        var service = configuration!.From(_folder.Root).Service;
        Record(days: 1, athletes: 1, durationS: 40);
        var plain = await Cli.RunAsync("replay", _folder.File("recordings"), "--output", _folder.File("plain.jsonl"));
        Assert.Equal(0, plain.ExitCode);
        Directory.Delete(_folder.File("recordings"), recursive: true);
        await using (var store = await HallStore.OpenAsync(service.Store.ToOptions(null), Stop))
        {
            var athlete = Assert.Single(new SimulatedHall(new() { Seed = 1, AthleteCount = 1, DurationS = 40 }, new NetworkOptions(), new(TestHall.Hall)).Roster.Sensors.Select(entry => entry.Athlete).Distinct(StringComparer.Ordinal));
            Record(days: 1, athletes: 1, durationS: 40, key: await new AthleteKeys(store, DataKeys.Open(service.People), TimeProvider.System).FindOrMakeAsync(athlete, Stop));
        }

        var closed = await Cli.RunAsync("replay", _folder.File("recordings"), "--output", _folder.File("closed.jsonl"));
        Assert.NotEqual(0, closed.ExitCode);
        Assert.Contains("sealed", closed.Error, StringComparison.Ordinal);
        var open = await Cli.RunAsync("replay", _folder.File("recordings"), "--output", _folder.File("open.jsonl"), "--keys", _folder.Root);
        Assert.True(open.ExitCode == 0, open.Error);
        Assert.NotEmpty(await File.ReadAllTextAsync(_folder.File("open.jsonl"), Stop));
        Assert.Equal(await File.ReadAllTextAsync(_folder.File("plain.jsonl"), Stop), await File.ReadAllTextAsync(_folder.File("open.jsonl"), Stop));
    }

    private void Record(int days, int athletes, double durationS, byte[]? key = null)
    {
        var options = new RecordingOptions { Folder = _folder.File("recordings"), FlushToDisk = false };
        for (var day = 0; day < days; day++)
        {
            var hall = new SimulatedHall(new() { Seed = (ulong)day + 1, AthleteCount = athletes, DurationS = durationS }, new NetworkOptions(), new(TestHall.Hall));
            var start = HallClock.Of(new DateTimeOffset(2027, 3, 1 + day, 16, 0, 0, TimeSpan.Zero));
            var worn = hall.Roster.Sensors.ToDictionary(entry => entry.Sensor, entry => entry.Athlete, StringComparer.Ordinal);
            var writers = new Dictionary<string, RecordingWriter>(StringComparer.Ordinal);
            foreach (var packet in hall.Packets(start))
            {
                var receivedUs = start.PlusSeconds(packet.TimeS).Microseconds;
                var athlete = worn[packet.Sensor.Value];
                if (!writers.TryGetValue(athlete, out var writer))
                {
                    writers[athlete] = writer = RecordingWriter.Begin(new RecordingDisk(), options, Header(hall, athlete, receivedUs) with { IsSealed = key is not null }, key);
                }

                writer.Add(receivedUs, packet.Sensor.Value, packet.Bytes.Span);
            }

            foreach (var writer in writers.Values)
            {
                writer.Write();
                writer.Dispose();
            }
        }
    }

    private static RecordingHeader Header(SimulatedHall hall, string athlete, long openedUs) => new()
    {
        Athlete = athlete,
        OpenedUs = openedUs,
        Hall = TestHall.Hall,
        Sensors = hall.Roster.Sensors.Where(entry => entry.Athlete == athlete).ToDictionary(entry => entry.Sensor, entry => entry.Site, StringComparer.Ordinal),
        Settings = "{}",
        Program = "test",
    };
}

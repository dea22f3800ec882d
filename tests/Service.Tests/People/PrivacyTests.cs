using System.IO.Compression;
using System.Net.Http.Json;
using System.Text;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;
using Saltograph.Service.Tests.Api;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.People;

/// <summary>Consent, names, everything of one athlete, erasure, retention, and who looked. Articles are those of Regulation (EU) 2016/679.</summary>
public sealed class PrivacyTests
{
    private const string Name = "Amarante Belmonde"; // invented

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    // Article 4(5): who a pseudonym is stands in one table, and there only sealed, with keys in another place.
    [Fact]
    public async Task A_name_is_sealed_and_stands_in_no_file_that_the_service_writes()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        using (var put = await administrator.PutAsJsonAsync("/api/v1/athletes/amber/name", new { athlete = "amber", name = Name }, Stop))
        {
            Assert.Equal(204, (int)put.StatusCode);
        }

        Assert.Contains(Name, await administrator.GetStringAsync(new Uri("/api/v1/athletes/amber/name", UriKind.Relative), Stop), StringComparison.Ordinal);
        Assert.DoesNotContain("Amarante", (await hall.Store.People.SealedNameAsync("amber", Stop))!, StringComparison.Ordinal);
        await hall.Store.ScrubAsync(Stop);
        foreach (var file in Directory.GetFiles(hall.Folder, "*", SearchOption.AllDirectories).Where(file => !IsLock(file)))
        {
            await using var open = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            using var bytes = new MemoryStream();
            await open.CopyToAsync(bytes, Stop);
            Assert.True(bytes.ToArray().AsSpan().IndexOf(Encoding.UTF8.GetBytes("Amarante")) < 0, $"the name stands in {file}");
        }
    }

    // Article 7(3): withdrawing is as easy as giving, and counts at once: on pages, over HTTP, over MQTT.
    [Fact]
    public async Task Withdrawn_consent_to_be_shown_takes_an_athlete_off_every_answer_and_giving_it_brings_her_back()
    {
        await using var hall = await PeopleHall.StartAsync();
        await hall.StoreJumpsAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        using var coach = await hall.SignedInAsync(Roles.Coach);
        await PutConsentAsync(administrator, "amber", recording: true, display: false);
        foreach (var path in new[] { "/api/v1/jumps", "/api/v1/athletes", "/api/v1/squad/load?day=2027-01-15", "/athlete", "/jump", "/" })
        {
            Assert.DoesNotContain("amber", await coach.GetStringAsync(new Uri(path, UriKind.Relative), Stop), StringComparison.Ordinal);
        }

        var sent = new List<string>();
        var way = new ConsentedOut(new Recorder(sent), hall.Host.Services.GetRequiredService<ConsentGate>());
        await way.SendAsync(new(TestHall.Jumps("amber"), [1], "application/json", 1, false), Stop);
        await way.SendAsync(new(TestHall.Jumps("beryl"), [1], "application/json", 1, false), Stop);
        Assert.Equal([TestHall.Jumps("beryl")], sent);

        await PutConsentAsync(administrator, "amber", recording: true, display: true);
        Assert.Contains("amber", await coach.GetStringAsync(new Uri("/api/v1/athletes", UriKind.Relative), Stop), StringComparison.Ordinal);
    }

    // Where consents are entered here, an athlete without one is neither measured nor recorded; her packets are counted.
    [Fact]
    public async Task Without_consent_nothing_is_recorded_or_stored_and_with_it_the_next_packet_is()
    {
        await using var hall = await PeopleHall.StartAsync(options => options with { People = options.People with { ConsentAssumed = false } });
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        await PutConsentAsync(administrator, "beryl", recording: true, display: false);
        await using var sensors = await Subscriber.ConnectAsync(hall.Host.MqttPort, "sensors");
        await sensors.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        await sensors.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(1));
        await EventuallyAsync(async () => (await hall.Store.Jumps.PageAsync(new() { Athlete = "beryl" }, Stop)).Jumps.Count == 1);
        Assert.Empty((await hall.Store.Jumps.PageAsync(new() { Athlete = "amber" }, Stop)).Jumps);
        Assert.DoesNotContain("amber", await hall.Store.Sessions.AthletesAsync(Stop), StringComparer.Ordinal);
        Assert.False(Directory.Exists(Path.Combine(hall.Folder, "data", "recordings", "amber")));

        await PutConsentAsync(administrator, "amber", recording: true, display: true);
        await sensors.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        await EventuallyAsync(async () => (await hall.Store.Jumps.PageAsync(new() { Athlete = "amber" }, Stop)).Jumps.Count == 1);
    }

    // Article 17 for what cannot be reached: a copy of a sealed recording is worth nothing once the athlete's key is erased.
    [Fact]
    public async Task A_copy_of_a_sealed_recording_cannot_be_read_after_its_athlete_was_erased()
    {
        await using var hall = await PeopleHall.StartAsync(options => options with { Recordings = options.Recordings with { Sealed = true } });
        await using var sensors = await Subscriber.ConnectAsync(hall.Host.MqttPort, "sensors");
        await sensors.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(1));
        await EventuallyAsync(async () => (await hall.Store.Jumps.PageAsync(new() { Athlete = "beryl" }, Stop)).Jumps.Count == 1);
        var file = Assert.Single(Directory.GetFiles(Path.Combine(hall.Folder, "data", "recordings", "beryl")));
        var copy = Path.Combine(Directory.CreateDirectory(Path.Combine(hall.Folder, "copy")).FullName, Path.GetFileName(file));
        await File.WriteAllBytesAsync(copy, await File.ReadAllBytesAsync(file, Stop), Stop);
        var keys = hall.Host.Services.GetRequiredService<AthleteKeys>();
        var readable = Recording();
        readable.Key = await keys.FindAsync("beryl", Stop);
        Assert.Equal(ScriptedMeasuring.Jump(1), Assert.Single(readable.Packets()).Bytes.ToArray());

        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        using (await administrator.DeleteAsync(new Uri("/api/v1/athletes/beryl/", UriKind.Relative), Stop))
        {
            Assert.Null(await keys.FindAsync("beryl", Stop));
            Assert.Throws<StoreException>(() => Recording().Packets().Count());
        }

        Saltograph.Store.Recordings.RecordingFiles Recording() => Saltograph.Store.Recordings.RecordingFiles.OfFile(copy)!;
    }

    // Articles 15 and 20: everything of one athlete, to her guardian and to nobody else's.
    [Fact]
    public async Task Everything_of_an_athlete_goes_to_her_guardian_and_holds_nobody_elses()
    {
        await using var hall = await PeopleHall.StartAsync();
        await hall.StoreJumpsAsync();
        using var guardian = await hall.SignedInAsync(Roles.GuardianRead);
        using var foreign = await guardian.GetAsync(new Uri("/api/v1/athletes/beryl/everything", UriKind.Relative), Stop);
        Assert.Equal(404, (int)foreign.StatusCode);
        await using var bytes = new MemoryStream(await guardian.GetByteArrayAsync(new Uri("/api/v1/athletes/amber/everything", UriKind.Relative), Stop));
        await using var zip = new ZipArchive(bytes);
        var texts = zip.Entries.ToDictionary(entry => entry.Name, entry => new StreamReader(entry.Open()).ReadToEnd(), StringComparer.Ordinal);
        Assert.Equal(3, texts["jumps.jsonl"].Count(character => character == '\n'));
        Assert.Contains("amber-training", texts["trainings.jsonl"], StringComparison.Ordinal);
        Assert.Contains("amber-warning", texts["warnings.jsonl"], StringComparison.Ordinal);
        Assert.Contains("guardian-read", texts["who-looked.jsonl"], StringComparison.Ordinal);
        Assert.All(texts.Values, text => Assert.DoesNotContain("beryl", text, StringComparison.Ordinal));
    }

    // Article 7(3): what waits to be sent again is of before she withdrew.
    [Fact]
    public async Task Of_one_who_may_not_be_shown_nothing_passes_but_what_takes_away()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        await PutConsentAsync(administrator, "amber", recording: true, display: false);
        var gate = hall.Host.Services.GetRequiredService<ConsentGate>();
        static OutgoingMessage Message(string topic, params byte[] payload) => new($"saltograph/v1/test-hall/{topic}", payload, "application/json", 1, Retain: false);
        Assert.False(gate.MayTell(Message("athletes/amber/jumps", 1)));
        Assert.False(gate.MayTell(Message("athletes/amber/warnings", 1)));
        Assert.True(gate.MayTell(Message("athletes/amber/live")));
        Assert.True(gate.MayTell(Message("athletes/beryl/jumps", 1)));
        Assert.True(gate.MayTell(Message("sensors/a-trunk/faults", 1)));
    }

    // Article 17, in memory: a warning of one who was erased must not be written anew by the engine that still knows it.
    [Fact]
    public async Task What_the_warnings_knew_of_one_who_was_erased_is_forgotten()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        var desk = hall.Host.Services.GetRequiredService<Saltograph.Service.Warnings.WarningDesk>();
        foreach (var athlete in new[] { "amber", "beryl" })
        {
            Assert.Null(await desk.TakeOutOfServiceAsync(Saltograph.Load.WarningRules.Proposed.Rules[0].Id, athlete, "coach", "test", Stop));
        }

        Assert.Equal(2, (await desk.OutOfServiceAsync(Stop)).Count);
        using (var answer = await administrator.DeleteAsync(new Uri("/api/v1/athletes/amber", UriKind.Relative), Stop))
        {
            Assert.Equal(200, (int)answer.StatusCode);
        }

        Assert.Equal("beryl", Assert.Single(await desk.OutOfServiceAsync(Stop)).Athlete.Value);
        Assert.Equal("beryl", Assert.Single(await hall.Store.Warnings.InputsAsync(0, Saltograph.Service.Warnings.DeskInput.LastingKinds, Stop)).Athlete);
    }

    // Article 17, on both engines: no row, no file and no byte in the database's files names her; the others keep theirs.
    [Theory]
    [InlineData("sqlite")]
    [InlineData("postgresql")]
    public async Task Erasure_reaches_every_table_and_file_and_leaves_the_others_alone(string engine)
    {
        Assert.SkipWhen(engine == "postgresql" && PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        await using var server = engine == "postgresql" ? await PostgresServer.StartAsync() : null;
        const string Erased = "citrine-7"; // on nobody's roster: not even her consent stays
        await using var hall = await PeopleHall.StartAsync(options => server is null ? options : options with { Store = new() { Kind = engine, Host = "127.0.0.1", Port = server.Port } });
        await hall.StoreJumpsAsync();
        await StoreEverythingOfAsync(hall, Erased);
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        await PutConsentAsync(administrator, Erased, recording: true, display: true);
        using (await administrator.PutAsJsonAsync($"/api/v1/athletes/{Erased}/name", new { athlete = Erased, name = Name }, Stop))
        using (await administrator.PutAsync(new Uri($"/api/v1/people/coach/athletes/{Erased}", UriKind.Relative), null, Stop))
        using (var answer = await administrator.DeleteAsync(new Uri($"/api/v1/athletes/{Erased}/", UriKind.Relative), Stop))
        {
            Assert.Equal(200, (int)answer.StatusCode);
        }

        Assert.False(Directory.Exists(Path.Combine(hall.Folder, "data", "recordings", Erased)));
        Assert.Equal(3, (await hall.Store.Jumps.PageAsync(new() { Athlete = "beryl" }, Stop)).Jumps.Count);
        Assert.Empty((await hall.Store.Jumps.PageAsync(new() { Athlete = Erased }, Stop)).Jumps);
        Assert.Null(await hall.Store.People.SealedNameAsync(Erased, Stop));
        var trail = await hall.Store.People.AuditAsync(null, null, 1000, Stop);
        Assert.Contains(trail, row => row.Did == "erase" && row.Athlete is null);

        // The request that erased her names her in the trail, as does every row of hers that was forgotten: checked over the whole of it.
        Assert.DoesNotContain(trail, row => row.Athlete == Erased || row.Detail?.Contains(Erased, StringComparison.Ordinal) == true);
        if (engine == "sqlite")
        {
            foreach (var file in Directory.GetFiles(Path.Combine(hall.Folder, "data"), "saltograph.db*").Where(file => !IsLock(file)))
            {
                await using var open = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
                using var bytes = new MemoryStream();
                await open.CopyToAsync(bytes, Stop);
                Assert.True(bytes.ToArray().AsSpan().IndexOf(Encoding.UTF8.GetBytes(Erased)) < 0, $"{file} still holds her");
            }
        }
    }

    // Article 5(1)(e): each kind goes at its age and not before.
    [Fact]
    public async Task Each_kind_of_data_goes_at_its_age_and_what_is_younger_stays()
    {
        var time = new Microsoft.Extensions.Time.Testing.FakeTimeProvider(DateTimeOffset.UnixEpoch.AddMicroseconds(ApiHall.MorningUs).AddDays(99));
        await using var hall = await PeopleHall.StartAsync(
            options => options with { Retention = new() { JumpsDays = 100, SensorEventsDays = 50, WarningsDays = 0, TrainingsDays = 100, AuditDays = 100 } },
            adjust: services => services.AddSingleton<TimeProvider>(time));
        await StoreEverythingOfAsync(hall, "citrine-7");
        time.Advance(TimeSpan.FromHours(1));
        await EventuallyAsync(async () => (await hall.Store.Sensors.OfAsync("citrine-7", 0, long.MaxValue, Stop)).Count == 0);
        Assert.Single((await hall.Store.Jumps.PageAsync(new() { Athlete = "citrine-7" }, Stop)).Jumps);
        time.Advance(TimeSpan.FromDays(2));
        await EventuallyAsync(async () => (await hall.Store.Jumps.PageAsync(new() { Athlete = "citrine-7" }, Stop)).Jumps.Count == 0);
        await EventuallyAsync(async () => (await hall.Store.Sessions.OverlappingAsync("citrine-7", 0, long.MaxValue, Stop)).Count == 0);
        Assert.Single(await hall.Store.Warnings.RaisedAsync("citrine-7", 0, long.MaxValue, 10, Stop)); // for ever
    }

    // ASVS 16.2.x; Article 30: who looked at whom, before the answer, and who changed what.
    [Fact]
    public async Task Whoever_looks_and_changes_is_written_down()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var coach = await hall.SignedInAsync(Roles.Coach);
        await coach.GetStringAsync(new Uri("/api/v1/athletes/amber/load", UriKind.Relative), Stop);
        await coach.GetStringAsync(new Uri("/athlete/amber", UriKind.Relative), Stop);
        using (await coach.PutAsJsonAsync("/api/v1/athletes/amber/plans/2027-01-16/plan", new { limits = new { jumps = 5 }, enteredBy = "coach" }, Stop))
        using (await coach.GetAsync(new Uri("/health/live", UriKind.Relative), Stop))
        {
            var trail = await hall.Store.People.AuditAsync("amber", null, 3, Stop);
            Assert.Equal("change look look", string.Join(' ', trail.Select(row => row.Did)));
            Assert.All(trail, row => Assert.Equal(Roles.Coach, row.Who));
        }
    }

    // Empty, and held by the service.
    private static bool IsLock(string file) => file.EndsWith(".lock", StringComparison.Ordinal);

    private static async Task StoreEverythingOfAsync(PeopleHall hall, string athlete)
    {
        await hall.Store.WriteAsync(async transaction =>
        {
            var jump = ApiHall.Jump(athlete, 1, ApiHall.MorningUs);
            await transaction.AddAthleteAsync(athlete, ApiHall.MorningUs);
            await transaction.AddJumpAsync(jump);
            await transaction.AddCurvesAsync(jump.Id, [1, 2, 3]);
            await transaction.AddLandingAsync(new() { Id = jump.Id + ".landing", Athlete = athlete, LandingUs = ApiHall.MorningUs, FlightTimeS = 0.4 });
            await transaction.OpenSessionAsync(new() { Id = $"{athlete}-1", Athlete = athlete, OpenedUs = ApiHall.MorningUs, OpenedBy = "test", ClosedUs = ApiHall.MorningUs + 1, ClosedBy = "test" });
            await transaction.OpenRecordingAsync(new() { Id = $"{athlete}-1", Athlete = athlete, OpenedUs = ApiHall.MorningUs, ClosedUs = ApiHall.MorningUs + 1 });
            await transaction.AddSensorEventAsync(new() { Id = $"{athlete}.s", Athlete = athlete, Sensor = "s", Site = "trunk", Kind = "lost", AtUs = ApiHall.MorningUs });
            await transaction.PutPlanAsync(new() { Athlete = athlete, Day = "2027-01-15", Kind = "plan", Limits = "{}", EnteredUs = 1, EnteredBy = "test" });
            await transaction.AddWarningAsync(new()
            {
                Id = $"{athlete}-w",
                Athlete = athlete,
                Rule = "hard-landing",
                Channel = "landing",
                Priority = "high",
                State = "normal",
                RaisedUs = ApiHall.MorningUs,
                ChangedUs = ApiHall.MorningUs,
                Detail = "{}",
            });
            await transaction.AddWarningChangeAsync(new() { Warning = $"{athlete}-w", Number = 1, AtUs = ApiHall.MorningUs, State = "normal" });
            await transaction.AddWarningInputAsync(new() { Number = 1_000_000, AtUs = ApiHall.MorningUs, Kind = "jump", Athlete = athlete, Body = "{}" });
            await transaction.AddToOutboxAsync(new() { Id = $"{athlete}.o", Topic = TestHall.Jumps(athlete), ContentType = "application/json", Payload = "{}", CreatedUs = ApiHall.MorningUs });
        });
        var folder = Directory.CreateDirectory(Path.Combine(hall.Folder, "data", "recordings", athlete)).FullName;
        await File.WriteAllBytesAsync(Path.Combine(folder, "1-1.cborseq"), [0xA0], Stop);
    }

    private static async Task PutConsentAsync(HttpClient administrator, string athlete, bool recording, bool display)
    {
        using var answer = await administrator.PutAsJsonAsync($"/api/v1/athletes/{athlete}/consent", new { recording, display, givenBy = "guardian" }, Stop);
        Assert.Equal(200, (int)answer.StatusCode);
    }

    private static async Task EventuallyAsync(Func<Task<bool>> holds)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(Stop);
        limit.CancelAfter(TimeSpan.FromSeconds(30));
        while (!await holds())
        {
            await Task.Delay(20, limit.Token);
        }
    }

    private sealed class Recorder(List<string> sent) : IMessageOut
    {
        public ValueTask SendAsync(OutgoingMessage message, CancellationToken stop)
        {
            sent.Add(message.Topic);
            return ValueTask.CompletedTask;
        }

        public Task DrainAsync(CancellationToken stop) => Task.CompletedTask;
    }
}

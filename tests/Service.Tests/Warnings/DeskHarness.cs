using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Load;
using Saltograph.Pipeline;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>The desk on a store of its own and a clock of the test; a restart makes new objects on the same store.</summary>
internal sealed class DeskHarness : IAsyncDisposable
{
    public static readonly DateTimeOffset Begin = new(2027, 3, 1, 15, 0, 0, TimeSpan.Zero);
    private readonly TemporaryFolder _folder = new();
    private readonly HallDays _days;
    private readonly HallConfiguration _configuration;
    private FactWriter _facts = null!;
    private int _number;

    private DeskHarness(WarningRules rules, string zone, RosterOptions roster)
    {
        _days = new(TimeZoneInfo.FindSystemTimeZoneById(zone));
        _configuration = new(TestHall.Options(), roster, new()) { Warnings = rules };
    }

    public FakeTimeProvider Time { get; } = new(Begin);

    public HallStore Store { get; private set; } = null!;

    public WarningDesk Desk { get; private set; } = null!;

    /// <summary>What listeners were told, in order.</summary>
    public List<WarningChange> Heard { get; } = [];

    public SampleTime Now => HallClock.Now(Time);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public static async Task<DeskHarness> StartAsync(WarningRules? rules = null, string zone = "UTC", RosterOptions? roster = null)
    {
        var harness = new DeskHarness(rules ?? WarningRules.Proposed, zone, roster ?? TestHall.Roster);
        harness.Store = await HallStore.OpenAsync(new() { File = harness._folder.File("hall.db") }, Stop);
        foreach (var athlete in harness._configuration.Roster.Sensors.Select(worn => worn.Athlete).Distinct(StringComparer.Ordinal))
        {
            await harness.Store.WriteAsync(
                async transaction =>
                {
                    await transaction.AddAthleteAsync(athlete, harness.Now.Microseconds);
                    await transaction.OpenRecordingAsync(new() { Id = $"{athlete}-1", Athlete = athlete, OpenedUs = harness.Now.Microseconds });
                },
                Stop);
        }

        await harness.RestartAsync();
        return harness;
    }

    /// <summary>As after a kill: nothing of the memory is left.</summary>
    public async Task RestartAsync()
    {
        Desk?.Dispose();
        var messages = new EventMessages(new(TestHall.Hall));
        var classes = new LandingClasses(_configuration.Warnings.Landings);
        await classes.RecallAsync(Store, Now.Microseconds + 1, Stop);
        _facts = new(_days, new(), messages, Time, classes);
        Desk = new(Store, new(messages, Time), _configuration, _days, Time, NullLogger<WarningDesk>.Instance, [new Listener(Heard)]);
        await Desk.RecallAsync(Stop);
    }

    public SessionDesk Sessions() => new(Store, _configuration, Desk, Time);

    /// <summary>Seconds pass, with a tick at the end of each.</summary>
    public async Task PassAsync(double seconds)
    {
        for (var second = 0; second < seconds; second++)
        {
            Time.Advance(TimeSpan.FromSeconds(1));
            await Desk.TickAsync(Stop);
        }
    }

    /// <summary>A jump that has landed a second ago is stored and, unless the process dies in between, given to the desk.</summary>
    public async Task<string> LandAsync(string athlete, Foot foot, double shockG, bool clipped = false, bool dies = false, double heightM = 0.25, double agoS = 1)
    {
        var landing = Now.PlusSeconds(-agoS);
        var record = ScriptedMeasuring.Record(++_number) with
        {
            TakeoffTime = landing.PlusSeconds(-0.4),
            PeakTime = landing.PlusSeconds(-0.2),
            LandingTime = landing,
            HeightM = heightM,
            Form = JumpForm.Leap,
            TakeoffFoot = foot == Foot.Left ? Foot.Right : Foot.Left,
            LandingFoot = foot,
            LandingShockG = foot == Foot.Left ? new(null, shockG, null) : new(null, null, shockG),
            Quality = clipped
                ? [QualityWords.Saturated, foot == Foot.Left ? QualityWords.SaturatedAnkleLeft : QualityWords.SaturatedAnkleRight]
                : [],
        };
        var measured = new JumpMeasured(new(athlete), $"{athlete}.{_number}", record);
        var told = new List<Fact>();
        await Store.WriteAsync(transaction => _facts.WriteAsync(transaction, measured, told), Stop);
        if (!dies)
        {
            foreach (var fact in told)
            {
                await Desk.EmitAsync(fact, Stop);
            }
        }

        return measured.EventId;
    }

    /// <summary>What was measured is stored and told.</summary>
    public async Task GiveAsync(Fact fact)
    {
        var told = new List<Fact>();
        await Store.WriteAsync(transaction => _facts.WriteAsync(transaction, fact, told), Stop);
        foreach (var news in told)
        {
            await Desk.EmitAsync(news, Stop);
        }
    }

    public Task SensorAsync(string athlete, string sensor, SensorFactKind kind, double? durationS = null, long count = 0) =>
        GiveAsync(new SensorReported(new(athlete), new(kind, new(sensor), Site.AnkleLeft, null, Now, count, durationS)));

    public Task PlanAsync(string athlete, string limits, string day = "2027-03-01", string kind = PlanRow.PlanKind) => Store.WriteAsync(
        transaction => transaction.PutPlanAsync(new() { Athlete = athlete, Day = day, Kind = kind, Limits = limits, EnteredUs = Now.Microseconds, EnteredBy = "coach-1" }), Stop);

    /// <summary>All jumps of the store, in the order of their landings.</summary>
    public async Task<IReadOnlyList<JumpRow>> JumpsAsync() => (await Store.Jumps.PageAsync(new() { Limit = 10_000, Records = JumpRecords.None }, Stop)).Jumps;

    /// <summary>All warnings of the store, oldest first: rule, subject, channel.</summary>
    public async Task<IReadOnlyList<WarningRow>> RaisedAsync() => [.. (await Store.Warnings.RaisedAsync(null, 0, long.MaxValue, 10_000, Stop)).Reverse()];

    public async Task<string> RaisedTextAsync() => string.Join(' ', (await RaisedAsync()).Select(row => $"{row.Channel}:{string.Join('.', row.Id.Split('.')[..3])}"));

    public async Task<IReadOnlyList<OutboxRow>> ToldAsync() =>
        [.. (await Store.Outbox.AfterAsync(0, 10_000, Stop)).Where(row => row.Topic.EndsWith("/warnings", StringComparison.Ordinal) || row.Topic.EndsWith("/faults", StringComparison.Ordinal))];

    public async ValueTask DisposeAsync()
    {
        Desk.Dispose();
        await Store.DisposeAsync();
        _folder.Dispose();
    }

    private sealed class Listener(List<WarningChange> heard) : IWarningListener
    {
        public void Changed(WarningChange change) => heard.Add(change);
    }
}

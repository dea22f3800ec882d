using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Store;
using Saltograph.Wire;

namespace Saltograph.Service.Warnings;

/// <summary>
/// Owns the engine of the warnings: gives it jumps in the order of their landings, figures of sensors, the limits of the day and commands of staff, and
/// writes each change of state to the store with the event that tells it. Everything given is kept in the same transaction, and after a restart given again.
/// </summary>
/// <remarks>
/// The engine's time is <see cref="BehindS"/> behind the clock, so that jumps still on their way keep their place. Commands count at the engine's time.
/// What could not be written stays and is written with the next tick.
/// </remarks>
internal sealed class WarningDesk : IFactSink, IDisposable
{
    /// <summary>How far the engine's time is behind the clock, s: a record is out 1.0 s after the landing; packets that were lost or late cost up to 1 s more.</summary>
    public const double BehindS = 4;

    private const double PlansEveryS = 5;

    private readonly HallStore _store;
    private readonly WarningWriter _writer;
    private readonly HallConfiguration _configuration;
    private readonly HallDays _days;
    private readonly OutboxSender? _outbox;
    private readonly TimeProvider _time;
    private readonly ILogger<WarningDesk> _log;
    private readonly IReadOnlyList<IWarningListener> _listeners;
    private readonly WarningEngine _engine;
    private readonly SensorFigures _figures;
    private readonly SemaphoreSlim _gate = new(1);
    private readonly PriorityQueue<CountedJump, (long, string)> _jumps = new();
    private readonly Dictionary<(string Athlete, LimitSource Source), DayLimits> _limits = [];
    private readonly List<(SampleTime At, DeskInput Input, long Number)> _inputs = [];
    private readonly List<WarningChange> _changes = [];
    private long _number;
    private string _day = "";
    private long _plansRead;

    /// <summary>Prepares; <see cref="RecallAsync"/> comes first.</summary>
    public WarningDesk(
        HallStore store, WarningWriter writer, HallConfiguration configuration, HallDays days, TimeProvider time, ILogger<WarningDesk> log,
        IEnumerable<IWarningListener> listeners, OutboxSender? outbox = null)
    {
        (_store, _writer, _configuration, _days, _time, _log, _outbox) = (store, writer, configuration, days, time, log, outbox);
        _listeners = [.. listeners];
        _engine = new(configuration.Warnings);
        _figures = new(configuration.Warnings);
    }

    /// <inheritdoc/>
    public string Name => "warnings";

    /// <inheritdoc/>
    public bool MustMissNothing => true;

    private SampleTime Reachable => HallClock.Now(_time).PlusSeconds(-BehindS);

    /// <summary>Comes to the state that the process before had: everything that was judged is judged again, and only what is new is told.</summary>
    public async Task RecallAsync(CancellationToken stop)
    {
        await _gate.WaitAsync(stop);
        try
        {
            var recall = await WarningRecall.ReadAsync(_store, Reachable, stop);
            _number = recall.Number;
            recall.Give(_engine, input =>
            {
                if (input.Limits is { } limits)
                {
                    var known = limits.ToLimits(new(input.Athlete));
                    _limits[(input.Athlete, limits.Source)] = known;
                }
            });
            foreach (var jump in recall.NotJudged)
            {
                _jumps.Enqueue(jump, Place(jump));
            }

            await recall.SensorsAsync(_store, _figures, stop);
            foreach (var open in _engine.Open.Where(open => open.LastChange.Channel == WarningChannel.Sensor))
            {
                _figures.Expect(open.LastChange.Athlete, new(open.LastChange.Subject));
            }

            // Rules that were changed meanwhile may not come to a warning that they once raised.
            var still = _engine.Open.Select(open => open.LastChange.WarningId).ToHashSet(StringComparer.Ordinal);
            _changes.AddRange(await recall.EndedAsync(_store, still, stop));
            await FlushAsync(stop);
        }
        finally
        {
            _gate.Release();
        }
    }

    /// <inheritdoc/>
    public async ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        if (fact is not (JumpMeasured or SensorReported or RecordingEnded))
        {
            return;
        }

        await _gate.WaitAsync(stop);
        try
        {
            switch (fact)
            {
                case JumpMeasured measured:
                    var jump = CountedJumps.Of(FactRows.Of(measured, _days));
                    _jumps.Enqueue(jump, Place(jump));
                    break;
                case SensorReported { Sensor: var sensor }:
                    _figures.Take(fact.Athlete, sensor.Sensor, sensor.Kind, sensor.HallTime, sensor.DurationS);
                    break;
                default:
                    _figures.End(fact.Athlete);
                    break;
            }
        }
        finally
        {
            _gate.Release();
        }
    }

    /// <summary>Lets time pass up to <see cref="BehindS"/> ago and writes what came of it. Once a second.</summary>
    public Task TickAsync(CancellationToken stop) => TickAsync(Reachable, stop);

    /// <summary>No more facts come: judges those that wait.</summary>
    public Task CompleteAsync(CancellationToken stop) => TickAsync(HallClock.Now(_time), stop);

    /// <summary>Warnings that are not normal, by athlete, rule and subject; shelved ones and those out of service among them.</summary>
    public Task<IReadOnlyList<OpenWarning>> OpenAsync(CancellationToken stop) => AskAsync(() => _engine.Open, stop);

    /// <summary>Rules that are out of service.</summary>
    public Task<IReadOnlyList<(string Rule, AthleteId Athlete)>> OutOfServiceAsync(CancellationToken stop) => AskAsync(() => _engine.OutOfService, stop);

    /// <summary>Acknowledges a warning.</summary>
    /// <returns>Why it was refused, and then nothing was done; null when it is done and stored.</returns>
    public Task<Fault?> AcknowledgeAsync(string warning, string who, string why, CancellationToken stop) =>
        CommandAsync(new(DeskInput.AcknowledgeKind, "") { Warning = warning, Who = who, Why = why }, stop);

    /// <summary>Silences a warning until a time.</summary>
    /// <returns>Why it was refused; null when done.</returns>
    public async Task<Fault?> ShelveAsync(string warning, DateTimeOffset until, string who, string why, CancellationToken stop)
    {
        var (now, end) = (HallClock.Now(_time), HallClock.Of(until));
        var last = now.PlusSeconds(_configuration.Warnings.LongestShelvingS - BehindS);
        return end > now && end <= last
            ? await CommandAsync(new(DeskInput.ShelveKind, "") { Warning = warning, Who = who, Why = why, UntilUs = end.Microseconds }, stop)
            : new("until", Rfc3339.Text(end), $"after {Rfc3339.Text(now)}, up to {Rfc3339.Text(last)}");
    }

    /// <summary>Ends a shelving early.</summary>
    /// <returns>Why it was refused; null when done.</returns>
    public Task<Fault?> UnshelveAsync(string warning, string who, string why, CancellationToken stop) =>
        CommandAsync(new(DeskInput.UnshelveKind, "") { Warning = warning, Who = who, Why = why }, stop);

    /// <summary>Takes a rule out of service for one athlete, until it is returned.</summary>
    /// <returns>Why it was refused; null when done.</returns>
    public Task<Fault?> TakeOutOfServiceAsync(string rule, string athlete, string who, string why, CancellationToken stop) =>
        ServiceAsync(DeskInput.OutOfServiceKind, rule, athlete, who, why, stop);

    /// <summary>Returns a rule to service.</summary>
    /// <returns>Why it was refused; null when done.</returns>
    public Task<Fault?> ReturnToServiceAsync(string rule, string athlete, string who, string why, CancellationToken stop) =>
        ServiceAsync(DeskInput.IntoServiceKind, rule, athlete, who, why, stop);

    /// <summary>Ends an athlete's training before the silence does.</summary>
    public Task EndSessionAsync(AthleteId athlete, CancellationToken stop) => CommandAsync(new(DeskInput.SessionEndKind, athlete.Value), stop);

    /// <inheritdoc/>
    public void Dispose() => _gate.Dispose();

    private static (long, string) Place(CountedJump jump) => (jump.LandingTime.Microseconds, jump.Id);

    private Task<Fault?> ServiceAsync(string kind, string rule, string athlete, string who, string why, CancellationToken stop) =>
        _configuration.Roster.Sensors.Any(entry => entry.Athlete == athlete)
            ? CommandAsync(new(kind, athlete) { Rule = rule, Who = who, Why = why }, stop)
            : Task.FromResult<Fault?>(new(nameof(athlete), $"'{athlete}'", "an athlete of the roster"));

    private async Task<T> AskAsync<T>(Func<T> ask, CancellationToken stop)
    {
        await _gate.WaitAsync(stop);
        try
        {
            return ask();
        }
        finally
        {
            _gate.Release();
        }
    }

    private async Task<Fault?> CommandAsync(DeskInput command, CancellationToken stop)
    {
        await _gate.WaitAsync(stop);
        try
        {
            Reach(Reachable);
            var fault = Give(command, _engine.Now);
            await FlushAsync(stop);
            return fault;
        }
        finally
        {
            _gate.Release();
        }
    }

    private async Task TickAsync(SampleTime to, CancellationToken stop)
    {
        await _gate.WaitAsync(stop);
        try
        {
            await ReadPlansAsync(to, stop);
            Reach(to);
            foreach (var figure in _figures.Crossed(_engine.Now).ToList())
            {
                Give(figure, _engine.Now);
            }

            await FlushAsync(stop);
        }
        finally
        {
            _gate.Release();
        }
    }

    private void Reach(SampleTime to)
    {
        while (_jumps.TryPeek(out var jump, out _) && jump.LandingTime <= to)
        {
            _jumps.Dequeue();
            Give(new(DeskInput.JumpKind, jump.Athlete.Value) { Jump = jump.Id }, jump.LandingTime, jump);
        }

        _changes.AddRange(_engine.Advance(to));
    }

    // First the time, then the input: so it is given again, and what was due before has come before in either case.
    private Fault? Give(DeskInput input, SampleTime at, CountedJump? jump = null)
    {
        _changes.AddRange(_engine.Advance(at));
        var result = input.Apply(_engine, jump);
        _changes.AddRange(result.Changes);
        if (result.Fault is null)
        {
            _inputs.Add((_engine.Now, input, ++_number));
        }

        return result.Fault;
    }

    // The engine takes limits only when their day has begun; a day begins at midnight of the hall, in the engine's time.
    private async Task ReadPlansAsync(SampleTime to, CancellationToken stop)
    {
        var day = _days.Of(to > _engine.Now ? to : _engine.Now);
        if (day == _day && _time.GetElapsedTime(_plansRead).TotalSeconds < PlansEveryS)
        {
            return;
        }

        var (from, _) = _days.Bounds(day);
        var wanted = new Dictionary<(string, LimitSource), DayLimits>();
        foreach (var row in await _store.Plans.OfDaysAsync(null, day, day, stop))
        {
            if (DayPlans.Read(row, _days, out var limits) is { } fault)
            {
                _log.PlanNotRead(row.Athlete, row.Day, fault.ToString());
            }
            else
            {
                wanted[(row.Athlete, limits!.Source)] = limits;
            }
        }

        foreach (var (key, limits) in _limits.ToList())
        {
            if (limits.From == from && !wanted.ContainsKey(key))
            {
                wanted[key] = new(limits.Athlete, limits.Source, limits.From, limits.To); // taken away: nothing is limited
            }
        }

        foreach (var (key, limits) in wanted.Where(pair => !_limits.TryGetValue(pair.Key, out var known) || known != pair.Value))
        {
            Reach(_engine.Now > from ? _engine.Now : from);
            Give(new(DeskInput.LimitsKind, limits.Athlete.Value) { Limits = LimitFigures.Of(limits) }, _engine.Now);
            _limits[key] = limits;
        }

        (_day, _plansRead) = (day, _time.GetTimestamp());
    }

    private async Task FlushAsync(CancellationToken stop)
    {
        if (_inputs.Count == 0 && _changes.Count == 0)
        {
            return;
        }

        var told = await _store.WriteAsync(
            async transaction =>
            {
                foreach (var (at, input, number) in _inputs)
                {
                    await transaction.AddWarningInputAsync(input.ToRow(number, at));
                }

                var isNew = new List<WarningChange>();
                foreach (var change in _changes)
                {
                    if (await _writer.WriteAsync(transaction, change))
                    {
                        isNew.Add(change);
                    }
                }

                return isNew;
            },
            stop);
        _inputs.Clear();
        _changes.Clear();
        if (told.Count > 0)
        {
            _outbox?.Wake();
        }

        foreach (var change in told)
        {
            _log.WarningChanged(change.WarningId, WarningJson.Word(change.From), WarningJson.Word(change.To), WarningJson.Word(change.Cause));
            foreach (var listener in _listeners)
            {
                listener.Changed(change);
            }
        }
    }
}

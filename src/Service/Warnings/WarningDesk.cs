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

    private readonly HallStore _store;
    private readonly WarningWriter _writer;
    private readonly HallConfiguration _configuration;
    private readonly Roster _roster;
    private readonly HallDays _days;
    private readonly OutboxSender? _outbox;
    private readonly TimeProvider _time;
    private readonly ILogger<WarningDesk> _log;
    private readonly IReadOnlyList<IWarningListener> _listeners;
    private readonly WarningJudge _judge;
    private readonly DayLimitsReader _limits;
    private readonly SemaphoreSlim _gate = new(1);

    // Changes of a transaction whose end is not known: it may have been committed and only the answer lost.
    private readonly HashSet<(string Warning, int Number)> _perhapsStored = [];

    /// <summary>Prepares; <see cref="RecallAsync"/> comes first.</summary>
    public WarningDesk(
        HallStore store, WarningWriter writer, HallConfiguration configuration, HallDays days, TimeProvider time, ILogger<WarningDesk> log,
        IEnumerable<IWarningListener> listeners, OutboxSender? outbox = null)
    {
        (_store, _writer, _configuration, _days, _time, _log, _outbox) = (store, writer, configuration, days, time, log, outbox);
        _listeners = [.. listeners];
        _roster = new(configuration.Roster);
        _judge = new(configuration.Warnings, _roster);
        _limits = new(store, days, time, log);
    }

    /// <inheritdoc/>
    public string Name => "warnings";

    /// <inheritdoc/>
    public bool MustMissNothing => true;

    private SampleTime Reachable => HallClock.Now(_time).PlusSeconds(-BehindS);

    /// <summary>Comes to the state that the process before had: everything that was judged is judged again, and only what is new is told.</summary>
    public Task RecallAsync(CancellationToken stop) => LockedAsync(
        async () =>
        {
            var recall = await WarningRecall.ReadAsync(_store, Reachable, stop);
            _judge.Recall(recall, input =>
            {
                if (input.Limits is { } limits)
                {
                    _limits.Know(limits.ToLimits(new(input.Athlete)));
                }
            });
            await recall.SensorsAsync(_store, _judge.Figures, stop);
            _judge.Figures.Recall(
                recall.Reached,
                _judge.Open.Where(open => open.LastChange.Channel == WarningChannel.Sensor).Select(open => (open.LastChange.Athlete, new SensorId(open.LastChange.Subject))));

            // Rules that were changed meanwhile may not come to a warning that they once raised.
            var still = _judge.Open.Select(open => open.LastChange.WarningId).ToHashSet(StringComparer.Ordinal);
            _judge.Add(await recall.EndedAsync(_store, still, stop));
            await FlushAsync(stop);
            return true;
        },
        stop);

    /// <inheritdoc/>
    public async ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        if (fact is not (JumpMeasured or SensorReported or RecordingEnded))
        {
            return;
        }

        await AskAsync(
            () =>
            {
                switch (fact)
                {
                    case JumpMeasured measured:
                        _judge.Wait(CountedJumps.Of(FactRows.Of(measured, _days)));
                        break;
                    case SensorReported { Sensor: var sensor }:
                        _judge.Figures.Take(fact.Athlete, sensor.Sensor, sensor.Kind, sensor.HallTime, sensor.DurationS, sensor.Count);
                        break;
                    case RecordingEnded ended:
                        _judge.Figures.End(fact.Athlete, ended.LastPacket);
                        break;
                    default:
                        break;
                }

                return true;
            },
            stop);
    }

    /// <summary>A sensor told its battery.</summary>
    public async Task BatteryAsync(SensorId sensor, double percent, CancellationToken stop)
    {
        if (_roster.TryFind(sensor, out var athlete))
        {
            await AskAsync(
                () =>
                {
                    _judge.Figures.Battery(athlete, sensor, percent, HallClock.Now(_time));
                    return true;
                },
                stop);
        }
    }

    /// <summary>Lets time pass up to <see cref="BehindS"/> ago and writes what came of it. Once a second.</summary>
    public Task TickAsync(CancellationToken stop) => TickAsync(Reachable, stop);

    /// <summary>No more facts come: judges those that wait.</summary>
    public Task CompleteAsync(CancellationToken stop) => TickAsync(HallClock.Now(_time), stop);

    /// <summary>Warnings that are not normal, by athlete, rule and subject; shelved ones and those out of service among them.</summary>
    public Task<IReadOnlyList<OpenWarning>> OpenAsync(CancellationToken stop) => AskAsync(() => _judge.Open, stop);

    /// <summary>Rules that are out of service.</summary>
    public Task<IReadOnlyList<(string Rule, AthleteId Athlete)>> OutOfServiceAsync(CancellationToken stop) => AskAsync(() => _judge.OutOfService, stop);

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

    private Task<Fault?> ServiceAsync(string kind, string rule, string athlete, string who, string why, CancellationToken stop) =>
        _configuration.Roster.Sensors.Any(entry => entry.Athlete == athlete)
            ? CommandAsync(new(kind, athlete) { Rule = rule, Who = who, Why = why }, stop)
            : Task.FromResult<Fault?>(new(nameof(athlete), $"'{athlete}'", "an athlete of the roster"));

    /// <summary>Forgets everything of an athlete, in memory too: without it the warnings of one who was erased would be written anew.</summary>
    public Task ForgetAsync(AthleteId athlete, CancellationToken stop) => AskAsync(
        () =>
        {
            _judge.Forget(athlete);
            return true;
        },
        stop);

    private Task<T> AskAsync<T>(Func<T> ask, CancellationToken stop) => LockedAsync(() => Task.FromResult(ask()), stop);

    private async Task<T> LockedAsync<T>(Func<Task<T>> work, CancellationToken stop)
    {
        await _gate.WaitAsync(stop);
        try
        {
            return await work();
        }
        finally
        {
            _gate.Release();
        }
    }

    private Task<Fault?> CommandAsync(DeskInput command, CancellationToken stop) => LockedAsync(
        async () =>
        {
            _judge.Reach(Reachable);
            var fault = _judge.Give(command, _judge.Now);
            try
            {
                await FlushAsync(stop);
            }
#pragma warning disable CA1031 // two databases throw many types; each means "not written, tried again with the next tick"
            catch (Exception problem) when (fault is null)
#pragma warning restore CA1031
            {
                throw new NotStoredYetException(problem);
            }

            return fault;
        },
        stop);

    private Task<bool> TickAsync(SampleTime to, CancellationToken stop) => LockedAsync(
        async () =>
        {
            // The engine takes limits only when their day has begun; a day begins at midnight of the hall, in the engine's time.
            foreach (var limits in await _limits.ChangedAsync(to > _judge.Now ? to : _judge.Now, stop))
            {
                _judge.Reach(_judge.Now > limits.From ? _judge.Now : limits.From);
                _judge.Give(new(DeskInput.LimitsKind, limits.Athlete.Value) { Limits = LimitFigures.Of(limits) }, _judge.Now);
                _limits.Know(limits);
            }

            _judge.Reach(to);
            await FlushAsync(stop);
            return true;
        },
        stop);

    private async Task FlushAsync(CancellationToken stop)
    {
        if (_judge.Inputs.Count == 0 && _judge.Changes.Count == 0)
        {
            return;
        }

        List<WarningChange> told;
        try
        {
            told = await _store.WriteAsync(WriteAsync, stop);
        }
        catch
        {
            _perhapsStored.UnionWith(_judge.Changes.Select(change => (change.WarningId, change.Number)));
            throw;
        }

        _judge.Stored();
        _perhapsStored.Clear();
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

    private async Task<List<WarningChange>> WriteAsync(StoreTransaction transaction)
    {
        foreach (var (at, input, number) in _judge.Inputs)
        {
            await transaction.AddWarningInputAsync(input.ToRow(number, at));
        }

        var isNew = new List<WarningChange>();
        foreach (var change in _judge.Changes)
        {
            if (await _writer.WriteAsync(transaction, change) || _perhapsStored.Contains((change.WarningId, change.Number)))
            {
                isNew.Add(change);
            }
        }

        return isNew;
    }
}

using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Pipeline;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>What the engine was given in the last weeks, in its order, and what it has still to be given.</summary>
internal sealed class WarningRecall
{
    private const long DayUs = 86_400_000_000;

    // A jump that nobody had a chance to judge because the process died: earlier ones are history, they teach and do not warn.
    private const long StillJudgedUs = DayUs;

    private readonly List<(SampleTime At, long Number, DeskInput Input, CountedJump? Jump)> _steps = [];
    private readonly SampleTime _reached;

    private WarningRecall(SampleTime reached, long number) => (_reached, Number) = (reached, number);

    /// <summary>The time that inputs and changes had reached.</summary>
    public SampleTime Reached => _reached;

    /// <summary>Number of the last input.</summary>
    public long Number { get; }

    /// <summary>Jumps that are stored and were not judged.</summary>
    public List<CountedJump> NotJudged { get; } = [];

    /// <summary>Reads it.</summary>
    /// <param name="store">The store.</param>
    /// <param name="now">The engine's time.</param>
    /// <param name="stop">Gives up.</param>
    public static async Task<WarningRecall> ReadAsync(HallStore store, SampleTime now, CancellationToken stop)
    {
        var (number, reachedUs) = await store.Warnings.ReachedAsync(stop);
        var recall = new WarningRecall(reachedUs == 0 ? now : new(reachedUs), number);
        var fromUs = now.Microseconds - (long)(LandingClasses.RecallDays * DayUs);
        var jumps = new Dictionary<string, CountedJump>(StringComparer.Ordinal);
        await foreach (var row in StoredJumps.ReadAsync(store, long.Max(now.Microseconds, recall._reached.Microseconds) + DayUs, stop))
        {
            jumps[row.Id] = CountedJumps.Of(row);
        }

        foreach (var row in await store.Warnings.InputsAsync(fromUs, DeskInput.LastingKinds, stop))
        {
            var input = DeskInput.Of(row);
            CountedJump? jump = null;
            if (input.Jump is { } id && !jumps.Remove(id, out jump))
            {
                continue; // taken out of the store since
            }

            recall._steps.Add((new(row.AtUs), row.Number, input, jump));
        }

        foreach (var jump in jumps.Values)
        {
            if (jump.LandingTime.Microseconds > recall._reached.Microseconds - StillJudgedUs)
            {
                recall.NotJudged.Add(jump);
            }
            else
            {
                recall._steps.Add((jump.LandingTime, 0, new(DeskInput.JumpKind, jump.Athlete.Value) { Jump = jump.Id, Apparatus = jump.Apparatus }, jump));
            }
        }

        return recall;
    }

    /// <summary>Gives the engine everything again. The changes are known: each was written with the input that led to it, or before a later one.</summary>
    public void Give(WarningEngine engine, Action<DeskInput, CountedJump?> given)
    {
        foreach (var (at, number, input, jump) in _steps.OrderBy(step => step.At).ThenBy(step => step.Number).ThenBy(step => step.Jump?.Id, StringComparer.Ordinal))
        {
            engine.Advance(at);
            if (number == 0)
            {
                engine.Learn(jump!); // it was never judged, and what it would raise was never told
            }
            else
            {
                input.Apply(engine, jump);
            }

            given(input, jump);
        }

        engine.Advance(_reached);
    }

    /// <summary>Takes what was told about sensors in the last day.</summary>
    public async Task SensorsAsync(HallStore store, SensorFigures figures, CancellationToken stop)
    {
        foreach (var athlete in await store.Sessions.AthletesAsync(stop))
        {
            foreach (var row in await store.Sensors.OfAsync(athlete, _reached.Microseconds - DayUs, long.MaxValue, stop))
            {
                if (Enum.TryParse<SensorFactKind>(row.Kind, out var kind))
                {
                    figures.Take(new(row.Athlete), new(row.Sensor), kind, new(row.AtUs), row.DurationS, row.Amount);
                }
            }
        }

        foreach (var athlete in await store.Sessions.AthletesAsync(stop))
        {
            var isMeasured = (await store.Sessions.OpenRecordingsAsync(stop)).Any(recording => recording.Athlete == athlete);
            if (!isMeasured)
            {
                figures.End(new(athlete), _reached);
            }
        }
    }

    /// <summary>Last changes of warnings that the store shows as open and that nothing holds open any more.</summary>
    public async Task<IReadOnlyList<WarningChange>> EndedAsync(HallStore store, HashSet<string> open, CancellationToken stop)
    {
        var ended = new List<WarningChange>();
        foreach (var row in (await store.Warnings.ActiveAsync(null, stop)).Where(row => !open.Contains(row.Id)))
        {
            var history = await store.Warnings.HistoryAsync(row.Id, stop);
            ended.Add(new()
            {
                WarningId = row.Id,
                Number = (int)history[^1].Number + 1,
                Rule = row.Rule,
                Athlete = new(row.Athlete),
                Subject = Subject(row),
                Channel = Parse<WarningChannel>(row.Channel),
                Priority = Parse<WarningPriority>(row.Priority),
                From = Parse<WarningState>(row.State),
                To = WarningState.Normal,
                Cause = WarningCause.Cleared,
                Time = _reached,
                RaisedTime = new(row.RaisedUs),
                Why = "The rules, or the jumps that are kept, were changed while the service was away.",
                Detail = new("", null, null, []),
            });
        }

        return ended;
    }

    private static string Subject(WarningRow row)
    {
        using var json = JsonDocument.Parse(row.Detail);
        return json.RootElement.GetProperty("subject").GetString()!;
    }

    private static T Parse<T>(string word)
        where T : struct, Enum => Enum.GetValues<T>().First(value => WarningJson.Word(value) == word);
}

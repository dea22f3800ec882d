using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.Warnings;

/// <summary>
/// The engine with what waits for its turn: jumps in the order of their landings, figures of sensors at the times of the data. Gathers what was given and what came of it, for the store.
/// One caller at a time.
/// </summary>
internal sealed class WarningJudge(WarningRules rules, Roster roster)
{
    private readonly WarningEngine _engine = new(rules);
    private readonly PriorityQueue<CountedJump, (long, string)> _jumps = new();
    private readonly List<(SampleTime At, DeskInput Input, long Number)> _inputs = [];
    private readonly List<WarningChange> _changes = [];
    private long _number;

    /// <summary>The time reached.</summary>
    public SampleTime Now => _engine.Now;

    /// <summary>Warnings that are not normal.</summary>
    public IReadOnlyList<OpenWarning> Open => _engine.Open;

    /// <summary>Rules out of service.</summary>
    public IReadOnlyList<(string Rule, AthleteId Athlete)> OutOfService => _engine.OutOfService;

    /// <summary>What is known of sensors.</summary>
    public SensorFigures Figures { get; } = new(rules);

    /// <summary>What was given and is not stored yet, in order.</summary>
    public IReadOnlyList<(SampleTime At, DeskInput Input, long Number)> Inputs => _inputs;

    /// <summary>What came of it and is not stored yet, in order.</summary>
    public IReadOnlyList<WarningChange> Changes => _changes;

    /// <summary>Judges again what the process before has judged; nothing of that is told.</summary>
    public void Recall(WarningRecall recall, Action<DeskInput> given)
    {
        _number = recall.Number;
        recall.Give(_engine, (input, jump) =>
        {
            given(input);
            if (jump is not null)
            {
                Felt(jump);
            }
        });
        foreach (var jump in recall.NotJudged)
        {
            Wait(jump);
        }
    }

    /// <summary>A jump waits until the time is its landing.</summary>
    public void Wait(CountedJump jump) => _jumps.Enqueue(jump, (jump.LandingTime.Microseconds, jump.Id));

    /// <summary>Lets time pass, and what waits come to its turn.</summary>
    public void Reach(SampleTime to)
    {
        while (true)
        {
            var landing = _jumps.TryPeek(out var jump, out _) ? jump.LandingTime : (SampleTime?)null;
            if (Figures.NextDue is { } due && due <= to && !(landing < due))
            {
                foreach (var figure in Figures.At(due))
                {
                    Give(figure, due);
                }
            }
            else if (landing <= to)
            {
                _jumps.Dequeue();
                Give(new(DeskInput.JumpKind, jump!.Athlete.Value) { Jump = jump.Id, Apparatus = jump.Apparatus }, jump.LandingTime, jump);
                Felt(jump);
            }
            else
            {
                break;
            }
        }

        _changes.AddRange(_engine.Advance(to));
    }

    /// <summary>Gives the engine something now, or at a later time.</summary>
    /// <returns>Why it was refused; null when it counts.</returns>
    public Fault? Give(DeskInput input, SampleTime at, CountedJump? jump = null)
    {
        // First the time, then the input: so it is given again, and what was due before has come before in either case.
        _changes.AddRange(_engine.Advance(at));
        var result = input.Apply(_engine, jump);
        _changes.AddRange(result.Changes);
        if (result.Fault is null)
        {
            _inputs.Add((_engine.Now, input, ++_number));
        }

        return result.Fault;
    }

    /// <summary>Changes that come from elsewhere.</summary>
    public void Add(IEnumerable<WarningChange> changes) => _changes.AddRange(changes);

    /// <summary>Forgets everything of an athlete, and what was to be stored of her.</summary>
    public void Forget(AthleteId athlete)
    {
        _engine.Forget(athlete);
        var others = _jumps.UnorderedItems.Where(item => item.Element.Athlete != athlete).ToList();
        _jumps.Clear();
        _jumps.EnqueueRange(others);
        _inputs.RemoveAll(input => input.Input.Athlete == athlete.Value);
        _changes.RemoveAll(change => change.Athlete == athlete);
    }

    /// <summary>What was gathered is stored.</summary>
    public void Stored()
    {
        _inputs.Clear();
        _changes.Clear();
    }

    private void Felt(CountedJump jump)
    {
        if (!roster.Athletes.Contains(jump.Athlete))
        {
            return; // stored once, and no longer of this hall
        }

        foreach (var (sensor, site) in roster.SensorsOf(jump.Athlete))
        {
            if (jump.ShockAt(site) is { } shock)
            {
                Figures.Landed(jump.Athlete, sensor, shock.Saturated, jump.LandingTime);
            }
        }
    }
}

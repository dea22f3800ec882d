using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>All rules of one athlete, her session and the jumps of the last day.</summary>
internal sealed class AthleteWatches
{
    // More than any day of one gymnast: up to 220 jumps in a session are reported (Hendry and others 2020, introduction).
    private const int Remembered = 2000;
    private readonly List<CountedJump> _session = [];
    private readonly Queue<CountedJump> _jumps = [];
    private readonly HashSet<string> _ids = new(StringComparer.Ordinal);
    private readonly double _gapS;
    private SampleTime _lastLanding;

    public AthleteWatches(AthleteId athlete, WarningRules rules, Journal journal)
    {
        _gapS = rules.SessionGapS;
        Watches = [.. rules.Rules.Select(rule => Make(rule, athlete, journal))];
    }

    public IReadOnlyList<Watch> Watches { get; }

    public SampleTime? NextDue
    {
        get
        {
            var next = _session.Count > 0 ? _lastLanding.PlusSeconds(_gapS) : (SampleTime?)null;
            foreach (var due in Watches.SelectMany(watch => watch.Points.Select(point => point.NextDue).Append(watch.NextDue)))
            {
                next = next is null || due < next ? due ?? next : next;
            }

            return next;
        }
    }

    public void Due(SampleTime at)
    {
        if (_session.Count > 0 && _lastLanding.PlusSeconds(_gapS) <= at)
        {
            EndSession(at);
        }

        foreach (var watch in Watches)
        {
            if (watch.NextDue <= at)
            {
                watch.Due(at);
            }

            foreach (var point in watch.Points.Where(point => point.NextDue <= at).ToList())
            {
                point.Due(at);
            }
        }
    }

    /// <summary>False when the event id was counted before.</summary>
    public bool IsNew(string id) => !_ids.Contains(id);

    public void Landed(LandingVerdict landing, SampleTime at)
    {
        Remember(landing, at);
        foreach (var watch in Watches)
        {
            watch.Landed(landing, _session, at);
        }
    }

    /// <summary>A landing of before: nothing is raised or cleared by it.</summary>
    public void Learned(LandingVerdict landing, SampleTime at)
    {
        Remember(landing, at);
        foreach (var watch in Watches)
        {
            watch.Learned(landing);
        }
    }

    public void Limited(DayLimits limits, SampleTime at)
    {
        foreach (var watch in Watches)
        {
            watch.Limited(limits, [.. _jumps], at);
        }
    }

    public void EndSession(SampleTime at)
    {
        foreach (var watch in Watches)
        {
            watch.SessionEnded(_session, at);
        }

        _session.Clear();
    }

    private void Remember(LandingVerdict landing, SampleTime at)
    {
        _ids.Add(landing.Jump.Id);
        _jumps.Enqueue(landing.Jump);
        if (_jumps.Count > Remembered)
        {
            _ids.Remove(_jumps.Dequeue().Id);
        }

        if (_session.Count == Remembered)
        {
            _session.RemoveAt(0);
        }

        _session.Add(landing.Jump);
        _lastLanding = at;
    }

    private static Watch Make(WarningRule rule, AthleteId athlete, Journal journal) => rule switch
    {
        LandingCountRule count => new LandingCountWatch(count, athlete, journal),
        ShockRiseRule rise => new ShockRiseWatch(rise, athlete, journal),
        LimitRule limit => new LimitWatch(limit, athlete, journal),
        FatigueRule fatigue => new FatigueWatch(fatigue, athlete, journal),
        AsymmetryRule asymmetry => new AsymmetryWatch(asymmetry, athlete, journal),
        SensorRule sensor => new SensorWatch(sensor, athlete, journal),
        _ => throw new ArgumentException($"Rule '{rule.Id}' is a {rule.GetType().Name}; allowed: the kinds of this project.", nameof(rule)),
    };
}

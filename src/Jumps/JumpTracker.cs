using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>What <see cref="JumpTracker"/> hands back; owned and cleared by the caller.</summary>
public sealed class JumpFacts
{
    /// <summary>Landings, at the first sign.</summary>
    public List<LandingFact> Landings { get; } = [];

    /// <summary>Complete jumps.</summary>
    public List<JumpRecord> Jumps { get; } = [];

    /// <summary>Falls of the velocity that were large enough to be looked at and were not jumps.</summary>
    public List<RefusedFlight> Refused { get; } = [];

    /// <summary>Empties all lists.</summary>
    public void Clear()
    {
        Landings.Clear();
        Jumps.Clear();
        Refused.Clear();
    }
}

/// <summary>A fall of the velocity that was not a jump.</summary>
/// <param name="Time">When it was judged.</param>
/// <param name="Why">Why not.</param>
public sealed record RefusedFlight(SampleTime Time, FlightRefusal Why);

/// <summary>
/// Finds and measures the jumps of one athlete from the trunk and up to two shanks. Samples go in one by one, in time
/// order over all sites; facts come out as soon as they are known. No allocation per sample, only per jump.
/// </summary>
public sealed class JumpTracker
{
    // The longest look back is to the last rest before a push-off, the longest look ahead the recovery.
    private const double KeptS = 6;

    // How far inside take-off and landing a flight is free beyond doubt.
    private const double InsideFlightS = 0.012;

    private readonly JumpOptions _options;
    private readonly FlightFinder _finder;
    private readonly SampleTrack?[] _tracks = new SampleTrack?[Sites.Count];
    private readonly List<FlightCandidate> _open = [];
    private BodyArms _arms = new();
    private SeriesMemory _series;
    private int _count;

    /// <summary>Makes a tracker that knows no site yet.</summary>
    /// <param name="options">Validated here.</param>
    public JumpTracker(JumpOptions options)
    {
        options.Validate();
        _options = options;
        _finder = new(options);
    }

    /// <summary>Tells the sample rate of a site: before its first sample, and again when it changes. Its samples are forgotten; how it sits on the body is not.</summary>
    /// <param name="site">Which.</param>
    /// <param name="sampleRateHz">50 to 2000 Hz.</param>
    public void SetSampleRate(Site site, double sampleRateHz)
    {
        if (!(sampleRateHz is >= 50 and <= 2000))
        {
            throw new ArgumentOutOfRangeException(
                nameof(sampleRateHz),
                FormattableString.Invariant($"Sample rate of {site.Name()} is {sampleRateHz} Hz; allowed: 50 to 2000 Hz."));
        }

        _tracks[(int)site] = new(sampleRateHz, KeptS, _options.GravityMps2, _tracks[(int)site]);
        if (site == Site.Trunk)
        {
            _finder.Reset();
            _open.Clear();
        }
    }

    /// <summary>Takes the next sample of a site; times must not go backwards, over all sites.</summary>
    public void Push(Site site, in MotionSample sample, JumpFacts facts)
    {
        var track = _tracks[(int)site]
            ?? throw new InvalidOperationException($"No sample rate was set for {site.Name()}.");
        if (site != Site.Trunk)
        {
            track.Append(sample);
            return;
        }

        track.Append(sample, _tracks[(int)Site.AnkleLeft], _tracks[(int)Site.AnkleRight]);

        if (_open.Count > 0 && sample.Time - _open[0].FastestDown >= _options.LongestRecoveryS)
        {
            CloseOldest(facts);
        }

        if (_finder.Push(track, out var candidate, out var refusal))
        {
            Open(candidate, facts);
        }
        else if (refusal is not (FlightRefusal.None or FlightRefusal.FallTooSmall))
        {
            facts.Refused.Add(new(sample.Time, refusal));
        }
    }

    /// <summary>Forgets a running flight, after a stretch without samples of the trunk that was too long to bridge.</summary>
    public void Interrupt(JumpFacts facts)
    {
        Complete(facts);
        _finder.Reset();
    }

    /// <summary>End of the input: closes what is open with what there is.</summary>
    public void Complete(JumpFacts facts)
    {
        while (_open.Count > 0)
        {
            CloseOldest(facts);
        }
    }

    /// <summary>The whole memory, copied.</summary>
    public JumpTrackerState Capture() => new()
    {
        Finder = _finder.State,
        Tracks = [.. _tracks.Select(track => track?.Clone())],
        Open = [.. _open],
        Arms = _arms.Clone(),
        Series = _series,
        Count = _count,
    };

    /// <summary>Puts a copied memory back; what follows is then exactly what would have followed.</summary>
    public void Restore(JumpTrackerState state)
    {
        _finder.State = state.Finder;
        for (var i = 0; i < Sites.Count; i++)
        {
            _tracks[i] = state.Tracks[i]?.Clone();
        }

        _open.Clear();
        _open.AddRange(state.Open);
        _arms = state.Arms.Clone();
        _series = state.Series;
        _count = state.Count;
    }

    private void Open(in FlightCandidate candidate, JumpFacts facts)
    {
        var events = Events(candidate, candidate.Found);
        if (events.FlightTimeS < _options.MinimumFlightTimeS)
        {
            facts.Refused.Add(new(candidate.Found, FlightRefusal.FlightTooShort));
            return;
        }

        _open.Add(candidate);
        facts.Landings.Add(new(candidate.Anchor, events.Landing, events.FlightTimeS, events.LandingFoot));
    }

    private void CloseOldest(JumpFacts facts)
    {
        var candidate = _open[0];
        var known = facts.Jumps.Count;
        Close(facts);
        if (facts.Jumps.Count > known)
        {
            facts.Jumps[^1] = JumpCurvesCut.With(facts.Jumps[^1], _tracks[(int)Site.Trunk]!, Worn(Site.AnkleLeft, candidate), Worn(Site.AnkleRight, candidate), _options);
        }
    }

    private void Close(JumpFacts facts)
    {
        var candidate = _open[0];
        _open.RemoveAt(0);
        var trunk = _tracks[(int)Site.Trunk]!;
        var until = candidate.FastestDown.PlusSeconds(_options.LongestRecoveryS);
        until = until < trunk.NewestTime ? until : trunk.NewestTime;
        var events = Events(candidate, until);
        var refusal = events.FlightTimeS < _options.MinimumFlightTimeS ? FlightRefusal.FlightTooShort
            : events.FlightTimeS > _options.LongestFlightTimeS ? FlightRefusal.TooLong
            : !_finder.HasLanded(trunk, candidate) ? FlightRefusal.NoLanding
            : FlightRefusal.None;
        if (refusal != FlightRefusal.None)
        {
            facts.Refused.Add(new(candidate.Found, refusal));
            return;
        }

        var (left, right) = (Worn(Site.AnkleLeft, candidate), Worn(Site.AnkleRight, candidate));
        SampleTime? next = _open.Count > 0 ? _open[0].FastestUp : null;
        facts.Jumps.Add(JumpMeasurement.Measure(new()
        {
            Trunk = trunk,
            Left = left,
            Right = right,
            Candidate = candidate,
            Events = events,
            Number = ++_count,
            PreviousLanding = _series.LastLanding,
            End = next is { } push && push < until ? push : until,
            Series = _series.Next(events, _options),
            Arms = _arms.Lengths,
            Options = _options,
        }));
        CentreOfMass.Over(trunk, left, right, events.Takeoff, events.Landing, _arms.Lengths).Teach(
            _arms, events.Takeoff.PlusSeconds(InsideFlightS), events.Landing.PlusSeconds(-InsideFlightS));
    }

    private FootEvents Events(in FlightCandidate candidate, SampleTime until) => EventTiming.Find(
        _tracks[(int)Site.Trunk]!, Worn(Site.AnkleLeft, candidate), Worn(Site.AnkleRight, candidate), candidate, until, _arms.Lengths, _options);

    /// <summary>The track of a shank whose sensor was alive during the flight; one that fell silent counts as not there.</summary>
    private SampleTrack? Worn(Site site, in FlightCandidate candidate) =>
        _tracks[(int)site] is { IsEmpty: false } track && track.NewestTime >= candidate.FastestDown ? track : null;
}

/// <summary>Memory of a <see cref="JumpTracker"/>; opaque.</summary>
public sealed class JumpTrackerState
{
    internal FlightFinderState Finder { get; init; }

    internal SampleTrack?[] Tracks { get; init; } = [];

    internal FlightCandidate[] Open { get; init; } = [];

    internal BodyArms Arms { get; init; } = new();

    internal SeriesMemory Series { get; init; }

    internal int Count { get; init; }
}

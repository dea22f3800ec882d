using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>A fall of the trunk's velocity that has the marks of a flight.</summary>
/// <param name="FastestUp">Where the upward velocity was largest: the push weakens to one body weight shortly before take-off.</param>
/// <param name="FastestDown">Where it was smallest: the floor carries one body weight again, shortly after landing.</param>
/// <param name="PushOffStart">Where the upward velocity was smallest before the push-off.</param>
/// <param name="Anchor">
/// Where the trunk's own velocity was smallest; it names the jump. Only the trunk's samples decide it, so that it stays the
/// same when the shanks' packets come a little earlier or later.
/// </param>
/// <param name="Found">Time of the sample that completed the finding.</param>
internal readonly record struct FlightCandidate(
    SampleTime FastestUp,
    SampleTime FastestDown,
    SampleTime PushOffStart,
    SampleTime Anchor,
    SampleTime Found);

/// <summary>Why a fall of the velocity was not taken for a flight.</summary>
public enum FlightRefusal
{
    /// <summary>It was taken for one.</summary>
    None,

    /// <summary>The velocity fell by too little: a step, a run, a nod.</summary>
    FallTooSmall,

    /// <summary>The fall was slower than free fall: a dip of the body.</summary>
    NotWeightless,

    /// <summary>The fall was much faster than free fall: a sensor in the hand, a blow.</summary>
    PulledDown,

    /// <summary>Nothing pushed the body up before: a step down, a fall.</summary>
    NoPushOff,

    /// <summary>Longer than any flight: a sensor that was taken off, an input that begins or ends at zero force.</summary>
    TooLong,

    /// <summary>Nothing stopped the fall in time.</summary>
    NoLanding,

    /// <summary>The flight, measured, was shorter than what is recorded.</summary>
    FlightTooShort,
}

/// <summary>Everything in the finder that changes.</summary>
internal struct FlightFinderState
{
    public bool Started;
    public bool Falling;
    public double HighMps;
    public double LowMps;
    public SampleTime HighTime;
    public SampleTime LowTime;

    /// <summary>Largest velocity since the lowest one, and when: the next rise begins there, not where the fall was judged.</summary>
    public double ReboundMps;
    public SampleTime ReboundTime;
}

/// <summary>
/// Follows the turning points of the trunk's upward velocity and reports each rise, fall and rise that is a jump.
/// </summary>
/// <remarks>
/// Why the velocity and not a threshold on the specific force: a sensor off the turn axis reads omega^2 r in the air (about
/// 1 g at 560 deg/s and 0.10 m), a loose belt bounces at 3 g, and the trunk is not the centre of mass, so that its specific
/// force need not come near zero. The integral forgives all three, because what is not the flight of the whole body
/// averages out: over flight and the unloading around it the trunk must lose g times the flight time.
/// </remarks>
internal sealed class FlightFinder(JumpOptions options)
{
    // Push-off of a jump from standing lasts 0.3 to 0.5 s, of a leap 0.15 to 0.3 s (common practice, no source).
    private const double LongestPushOffS = 0.8;

    // The fall is longer than the flight by the unloading before it and the loading after it, 20 to 50 ms each.
    private const double UnloadingAndLoadingS = 0.1;

    private FlightFinderState _state;

    /// <summary>The whole memory, to keep and to put back.</summary>
    public FlightFinderState State
    {
        get => _state;
        set => _state = value;
    }

    /// <summary>Forgets the velocity so far, after a stretch without samples.</summary>
    public void Reset() => _state = default;

    /// <summary>Looks at the newest sample of the trunk; true when a flight is complete and its landing has shown itself.</summary>
    /// <param name="trunk">The trunk's track, not empty.</param>
    /// <param name="candidate">The flight, when found.</param>
    /// <param name="refusal">Why a fall that has just ended was not a flight; None otherwise.</param>
    public bool Push(SampleTrack trunk, out FlightCandidate candidate, out FlightRefusal refusal)
    {
        candidate = default;
        refusal = FlightRefusal.None;
        ref readonly var newest = ref trunk[trunk.End - 1];
        var velocity = newest.BodyVelocityUpMps;
        if (!_state.Started)
        {
            _state.Started = true;
            _state.HighMps = velocity;
            _state.HighTime = newest.Time;
            return false;
        }

        if (!_state.Falling)
        {
            if (velocity >= _state.HighMps)
            {
                _state.HighMps = velocity;
                _state.HighTime = newest.Time;
            }
            else if (velocity < _state.HighMps - options.ReversalMps)
            {
                _state.Falling = true;
                Deepen(velocity, newest.Time);
            }

            return false;
        }

        if (velocity < _state.LowMps)
        {
            Deepen(velocity, newest.Time);
            return false;
        }

        if (velocity > _state.ReboundMps)
        {
            _state.ReboundMps = velocity;
            _state.ReboundTime = newest.Time;
        }

        var fallMps = _state.HighMps - _state.LowMps;
        var landed = velocity >= _state.LowMps + options.ReversalMps;
        if (!landed && newest.Time - _state.LowTime <= options.LandingWithinS)
        {
            return false;
        }

        refusal = Judge(trunk, fallMps, landed, out var pushOffStart);
        candidate = new(_state.HighTime, _state.LowTime, pushOffStart, Anchor(trunk), newest.Time);
        _state.Falling = false;
        _state.HighMps = _state.ReboundMps;
        _state.HighTime = _state.ReboundTime;
        return refusal == FlightRefusal.None;
    }

    /// <summary>Whether the floor gave back the share of the fall that a landing gives, soon enough.</summary>
    public bool HasLanded(SampleTrack trunk, in FlightCandidate candidate)
    {
        var fallMps = -trunk.BodyVelocityChangeMps(candidate.FastestUp, candidate.FastestDown);
        var end = candidate.FastestDown.PlusSeconds(options.LandingWithinS);
        for (var i = trunk.IndexAtOrAfter(candidate.FastestDown); i < trunk.End && trunk[i].Time <= end; i++)
        {
            if (trunk.BodyVelocityChangeMps(candidate.FastestDown, trunk[i].Time) >= options.MinimumRiseShare * fallMps)
            {
                return true;
            }
        }

        return false;
    }

    private SampleTime Anchor(SampleTrack trunk)
    {
        var lowest = trunk.IndexAtOrAfter(_state.HighTime);
        for (var i = lowest + 1; i < trunk.End; i++)
        {
            if (trunk[i].VelocityUpMps < trunk[lowest].VelocityUpMps)
            {
                lowest = i;
            }
        }

        return trunk[lowest].Time;
    }

    private void Deepen(double velocityMps, SampleTime time)
    {
        _state.LowMps = _state.ReboundMps = velocityMps;
        _state.LowTime = _state.ReboundTime = time;
    }

    private FlightRefusal Judge(SampleTrack trunk, double fallMps, bool landed, out SampleTime pushOffStart)
    {
        pushOffStart = _state.HighTime;
        if (fallMps < options.MinimumVelocityFallMps)
        {
            return FlightRefusal.FallTooSmall;
        }

        var fallS = _state.LowTime - _state.HighTime;
        if (fallS > options.LongestFlightTimeS + UnloadingAndLoadingS)
        {
            return FlightRefusal.TooLong;
        }

        if (fallMps < options.MinimumFallShareOfG * options.GravityMps2 * fallS)
        {
            return FlightRefusal.NotWeightless;
        }

        if (fallMps > options.LargestFallShareOfG * options.GravityMps2 * fallS)
        {
            return FlightRefusal.PulledDown;
        }

        // Sought in a window of its own: over a long stretch the drift of the integral would look like a push-off.
        var lowestMps = _state.HighMps;
        for (var i = trunk.IndexAtOrAfter(_state.HighTime.PlusSeconds(-LongestPushOffS)); i < trunk.End; i++)
        {
            ref readonly var point = ref trunk[i];
            if (point.Time >= _state.HighTime)
            {
                break;
            }

            if (point.BodyVelocityUpMps < lowestMps)
            {
                lowestMps = point.BodyVelocityUpMps;
                pushOffStart = point.Time;
            }
        }

        if (_state.HighMps - lowestMps < options.MinimumRiseShare * fallMps)
        {
            return FlightRefusal.NoPushOff;
        }

        return landed ? FlightRefusal.None : FlightRefusal.NoLanding;
    }
}

using Saltograph.Imu;

namespace Saltograph.Service.Fitting;

/// <summary>What the athlete has to do now.</summary>
internal enum FittingStep
{
    /// <summary>Stand still for three seconds.</summary>
    Stand,

    /// <summary>Rise on the toes of both feet and come down.</summary>
    Rise,

    /// <summary>Stand on the right foot and lift the left one.</summary>
    Lift,

    /// <summary>Nothing: it is done.</summary>
    Done,
}

/// <summary>What the movements of the check say about one sensor.</summary>
/// <param name="Expected">Where the roster says that it sits.</param>
internal sealed record FittedSite(Site Expected)
{
    /// <summary>Where its movements say that it sits; null when they do not tell.</summary>
    public Site? Found { get; init; }

    /// <summary>How far it rose with the body when she rose on her toes, m; null before.</summary>
    public double? RiseM { get; init; }

    /// <summary>How much it moved when she lifted the left foot, m/s2: root mean square of the change of specific force, and 1 m/s2 for each rad/s; null before.</summary>
    public double? LiftMps2 { get; init; }

    /// <summary>What it reads at rest, g; null before she stood still.</summary>
    public double? RestG { get; init; }

    /// <summary>Noise of the gyroscope at rest, deg/s: from differences of neighbouring samples, so that sway does not count (von Neumann 1941).</summary>
    public double? GyroscopeNoiseDps { get; init; }

    /// <summary>Noise of the accelerometer at rest likewise, m/s2.</summary>
    public double? AccelerometerNoiseMps2 { get; init; }

    /// <summary>Samples at a rail since the check began.</summary>
    public int Clipped { get; init; }
}

/// <summary>
/// The check of sensors before training: stand still, rise on the toes, lift the left foot. Tells from the movements alone at which site and on which leg each sensor
/// sits: the lifted left leg moves most, the standing leg leans as the body goes over its foot, and the trunk stays upright. Pure: samples in, findings out.
/// </summary>
/// <remarks>
/// Straps may be turned any way, so only sizes and the direction of gravity are used. Half the width of the hips over the length of a leg leans the standing leg by some 6 deg, 1 m/s2 of
/// gravity; simulated trunks, which are held upright, feel 0.4 to 0.6 m/s2 in all, standing shanks 1.1 to 1.5, lifted ones 2.9 to 4.4. Nobody has tried it on people: who leans her trunk
/// over is not told apart. A sensor that does not rise with her toes is not worn, and nothing is said of where it sits.
/// </remarks>
internal sealed class FittingCheck
{
    /// <summary>How long she has to stand still, s.</summary>
    public const double StandS = 3;

    private const double SettledS = 0.8;
    private const double LeastMovementS = 0.4;
    private const double LeastRiseM = 0.015;
    private const double LargestRiseM = 0.25;
    private const double ReturnedShare = 0.5;
    private const double LeastLiftMps2 = 0.6;
    private const double LiftedOverNext = 1.8;
    private const double StandingOverTrunk = 1.25;

    // Jumping and running, not the check.
    private const double TooMuchMps2 = 15;
    private const double SilentS = 1;

    private readonly SiteMotion[] _sites;
    private readonly Dictionary<Site, FittedSite> _found;
    private readonly Dictionary<Site, int> _clippedBefore;
    private SampleTime? _begun;
    private SampleTime _now;
    private long _standsFrom = -1;
    private long _movesFrom = -1;
    private long _looked = -1;

    /// <summary>Begins.</summary>
    /// <param name="sites">Where sensors are worn, by the roster.</param>
    public FittingCheck(IEnumerable<Site> sites)
    {
        _sites = [.. sites.Order().Select(site => new SiteMotion(site))];
        _found = _sites.ToDictionary(site => site.Site, site => new FittedSite(site.Site));
        _clippedBefore = _sites.ToDictionary(site => site.Site, _ => 0);
    }

    /// <summary>What she has to do now.</summary>
    public FittingStep Step { get; private set; }

    /// <summary>How much of the standing is done, 0 to 1.</summary>
    public double StoodShare => _standsFrom < 0 || Step != FittingStep.Stand ? 0 : Math.Min(1, (_looked - _standsFrom + 1) * SiteMotion.TickS / StandS);

    /// <summary>Whether the movement before was far more than asked for, so that it began anew.</summary>
    public bool WasTooMuch { get; private set; }

    /// <summary>Sites of which nothing came for a second.</summary>
    public IReadOnlyList<Site> Silent => [.. _sites.Where(site => _begun is not null && !(_now - (site.Newest ?? _begun.Value) < SilentS)).Select(site => site.Site)];

    /// <summary>What is known of each sensor so far.</summary>
    public IReadOnlyDictionary<Site, FittedSite> Found => _found;

    /// <summary>Takes a sample of the sensor that the roster puts at a site; samples of one sensor come in order, of several within a second.</summary>
    public void Push(Site site, in ImuSample sample)
    {
        var motion = Array.Find(_sites, each => each.Site == site);
        if (motion is null || !sample.IsFinite)
        {
            return;
        }

        _begun ??= sample.Time;
        _now = sample.Time > _now ? sample.Time : _now;
        motion.Push(sample);
        if (Step != FittingStep.Done)
        {
            _found[site] = _found[site] with { Clipped = motion.Clipped - _clippedBefore[site] };
        }

        for (var ready = _sites.Min(each => each.LastFullTick); Step != FittingStep.Done && _looked < ready;)
        {
            _looked = _looked < 0 ? ready : _looked + 1;
            Look();
        }
    }

    private void Look()
    {
        if (Step == FittingStep.Stand)
        {
            Stand();
        }
        else if (_movesFrom < 0)
        {
            _movesFrom = Array.Exists(_sites, site => site.Moves(_looked)) ? _looked - SiteMotion.Ticks(0.3) : -1;
        }
        else if (_sites.Count(site => site.LargestMps2(_looked) > TooMuchMps2) > (Step == FittingStep.Lift ? 1 : 0)) // one foot may be put down hard
        {
            WasTooMuch = true;
            Restart();
        }
        else if (Array.TrueForAll(_sites, site => site.IsStill(_looked, SettledS)) && (_looked - _movesFrom) * SiteMotion.TickS > SettledS + LeastMovementS)
        {
            Moved(_movesFrom, _looked);
        }
    }

    // What she does before the check, or in place of it, may well reach a rail: jumps do. So does what she does after it.
    private void CountClippingAnew()
    {
        foreach (var site in _sites)
        {
            _clippedBefore[site.Site] = site.Clipped;
            _found[site.Site] = _found[site.Site] with { Clipped = 0 };
        }
    }

    private void Restart() => (Step, _standsFrom, _movesFrom) = (FittingStep.Stand, -1, -1);

    private void Stand()
    {
        if (!Array.TrueForAll(_sites, site => site.IsStill(_looked, 0.5)))
        {
            _standsFrom = -1;
            return;
        }

        if (_standsFrom < 0)
        {
            _standsFrom = _looked;
            CountClippingAnew();
        }

        if ((_looked - _standsFrom + 1) * SiteMotion.TickS < StandS)
        {
            return;
        }

        foreach (var site in _sites)
        {
            site.LearnRest(_standsFrom, _looked);
            _found[site.Site] = _found[site.Site] with
            {
                RestG = site.RestMps2.Length / Gravity.StandardMps2,
                GyroscopeNoiseDps = site.GyroscopeNoiseRadps * Angles.DegPerRad,
                AccelerometerNoiseMps2 = site.AccelerometerNoiseMps2,
            };
        }

        (Step, _movesFrom) = (FittingStep.Rise, -1);
    }

    private void Moved(long from, long to)
    {
        if (Step == FittingStep.Rise)
        {
            Rose(from, to);
        }
        else
        {
            Lifted(from, to);
        }
    }

    private void Rose(long from, long to)
    {
        var rises = _sites.Select(site => site.Rise(from, to)).ToArray();
        if (rises.Max(rise => rise.HighestM) < LeastRiseM)
        {
            _movesFrom = -1; // a shift of weight
            return;
        }

        // Still up on her toes: what lies at the end is where she was, less than half as high.
        if (rises.Any(rise => rise.HighestM > LeastRiseM && Math.Abs(rise.EndM) > ReturnedShare * rise.HighestM) && (to - from) * SiteMotion.TickS < 8)
        {
            return;
        }

        for (var i = 0; i < _sites.Length; i++)
        {
            _found[_sites[i].Site] = _found[_sites[i].Site] with { RiseM = rises[i].HighestM };
        }

        if (rises.Max(rise => rise.HighestM) > LargestRiseM)
        {
            WasTooMuch = true;
            Restart();
            return;
        }

        WasTooMuch = false;
        (Step, _movesFrom) = (FittingStep.Lift, -1);
    }

    private void Lifted(long from, long to)
    {
        var moved = _sites.Select(site => (site.Site, Mps2: site.MovedMps2(from, to))).OrderByDescending(each => each.Mps2).ToArray();
        if (moved[0].Mps2 < LeastLiftMps2)
        {
            _movesFrom = -1;
            return;
        }

        foreach (var (site, mps2) in moved)
        {
            _found[site] = _found[site] with { LiftMps2 = mps2 };
        }

        moved = [.. moved.Where(each => _found[each.Site].RiseM >= FittingVerdict.LeastRiseM)];
        var lifted = moved.Length > 1 && moved[0].Mps2 > LiftedOverNext * moved[1].Mps2 ? moved[0].Site : (Site?)null;
        if (lifted is { } left)
        {
            _found[left] = _found[left] with { Found = Site.AnkleLeft };
            if (moved.Length == 3 && moved[1].Mps2 > StandingOverTrunk * moved[2].Mps2)
            {
                _found[moved[1].Site] = _found[moved[1].Site] with { Found = Site.AnkleRight };
                _found[moved[2].Site] = _found[moved[2].Site] with { Found = Site.Trunk };
            }
        }

        Step = FittingStep.Done;
    }
}

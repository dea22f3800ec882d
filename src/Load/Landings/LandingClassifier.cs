using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>
/// Tells landings apart by each athlete's own earlier ones of the same site, form and leg. A landing is compared with those before it, then remembered.
/// </summary>
/// <remarks>
/// Replayable: the same jumps in the same order give the same classes. Memory is bounded: a class depends only on the last
/// <see cref="LandingClassOptions.RememberedLandings"/> of its site, form and leg, so that after a restart it is enough to classify stored jumps again, oldest first.
/// Saturated shocks are remembered as their lower bound: medians stay right as long as fewer than half are saturated.
/// </remarks>
public sealed class LandingClassifier
{
    private readonly LandingClassOptions _options;
    private readonly Dictionary<Key, Memory> _memories = [];

    /// <summary>Starts without a history. Throws <see cref="ArgumentException"/> on options that are not allowed.</summary>
    public LandingClassifier(LandingClassOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        _options = options;
    }

    /// <summary>Classifies the next landing and remembers it. The caller gives each event id once.</summary>
    public LandingVerdict Classify(CountedJump jump)
    {
        ArgumentNullException.ThrowIfNull(jump);
        var sites = new List<SiteLanding>(Sites.Count);
        foreach (var site in Enum.GetValues<Site>().Where(site => Accounting.Landed(jump, site)))
        {
            sites.Add(AtSite(jump, site));
        }

        var ankles = sites.Where(site => site.Site != Site.Trunk && site.Class != LandingClass.Unmeasured).Select(site => site.Class).ToList();
        return new(jump, ankles.Count > 0 ? ankles.Max() : sites[0].Class, sites);
    }

    private SiteLanding AtSite(CountedJump jump, Site site)
    {
        // A shock that is none (not finite, not above 0) was not measured.
        if (jump.ShockAt(site) is not { } shock || !(shock.ShockG > 0) || !double.IsFinite(shock.ShockG))
        {
            return new(site, null, LandingClass.Unmeasured, 0, null, null);
        }

        var key = new Key(jump.Athlete, site, jump.Form, jump.LandingLeg);
        if (!_memories.TryGetValue(key, out var memory))
        {
            _memories[key] = memory = new(_options.RememberedLandings);
        }

        var landing = Judge(site, shock, jump.AbsorptionTimeS, memory);
        memory.Add(shock.ShockG, jump.AbsorptionTimeS);
        return landing;
    }

    private SiteLanding Judge(Site site, SiteShock shock, double? absorptionTimeS, Memory memory)
    {
        var (cap, error) = site == Site.Trunk ? (_options.TrunkCapG, _options.TrunkErrorG) : (_options.AnkleCapG, _options.AnkleErrorG);
        var isLearning = memory.Count < _options.LearningLandings;
        var sorted = isLearning ? [] : Robust.Sorted(memory.ShocksG);
        var median = isLearning ? (double?)null : Robust.Quantile(sorted, 0.5);
        var beyondError = median + Reliability.MinimalDetectableChange(error);
        double? hardAbove = beyondError is { } least ? Math.Max(least, Robust.FarAbove(sorted, _options.HardDeviationsFactor * Robust.FewFactor(sorted.Length))) : null;

        var rank = shock.Saturated ? LandingClass.Saturated
            : shock.ShockG >= cap ? LandingClass.Hard
            : isLearning ? LandingClass.Learning
            : shock.ShockG > hardAbove || (shock.ShockG > beyondError && IsTop(shock.ShockG, sorted)) ? LandingClass.Hard
            : shock.ShockG > Robust.Quantile(sorted, _options.FirmShare) ? LandingClass.Firm
            : shock.ShockG < median && absorptionTimeS > memory.MedianAbsorptionS ? LandingClass.Soft
            : LandingClass.Normal;
        return new(site, shock, rank, memory.Count, median, hardAbove);
    }

    private bool IsTop(double shockG, double[] sorted)
    {
        // Its own rank among all of them, itself included: the share holds for any number, and acts when one landing is not more than it.
        return sorted.Count(other => other >= shockG) + 1 <= _options.TopShare * (sorted.Length + 1);
    }

    /// <summary>Forgets the landings of an athlete.</summary>
    public void Forget(AthleteId athlete)
    {
        foreach (var key in _memories.Keys.Where(key => key.Athlete == athlete).ToList())
        {
            _memories.Remove(key);
        }
    }

    private readonly record struct Key(AthleteId Athlete, Site Site, ElementForm? Form, Leg? Leg);

    /// <summary>The last landings of one key.</summary>
    private sealed class Memory(int room)
    {
        private readonly Queue<(double ShockG, double? AbsorptionTimeS)> _landings = [];

        public int Count => _landings.Count;

        public IEnumerable<double> ShocksG => _landings.Select(landing => landing.ShockG);

        public double? MedianAbsorptionS
        {
            get
            {
                var times = _landings.Select(landing => landing.AbsorptionTimeS).OfType<double>().ToList();
                return times.Count == 0 ? null : Robust.Median(times);
            }
        }

        public void Add(double shockG, double? absorptionTimeS)
        {
            if (_landings.Count == room)
            {
                _landings.Dequeue();
            }

            _landings.Enqueue((shockG, absorptionTimeS));
        }
    }
}

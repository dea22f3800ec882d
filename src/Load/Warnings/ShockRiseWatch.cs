using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Compares the last landings of a form and leg with those before them, and with the other leg.</summary>
internal sealed class ShockRiseWatch(ShockRiseRule rule, AthleteId athlete, Journal journal) : Watch(rule, athlete, journal)
{
    private const int LeastBaseline = 20;
    private readonly Dictionary<(ElementForm? Form, Leg Leg), Trail> _trails = [];

    public override void Learned(LandingVerdict landing) => Add(landing);

    public override void Landed(LandingVerdict landing, IReadOnlyList<CountedJump> session, SampleTime at)
    {
        if (Add(landing) is not { } trail)
        {
            return;
        }

        var jump = landing.Jump;
        var leg = jump.LandingLeg!.Value;
        if (trail.Shocks.Count < LeastBaseline + rule.RecentLandings)
        {
            return;
        }

        // While raised the baseline stands still: else the rise would become its own measure.
        var now = Robust.Median(trail.Shocks.TakeLast(rule.RecentLandings));
        var raiseAt = trail.RaisedAtG ?? RaiseAt(Baseline(trail));
        var subject = $"{Words(leg)}-{jump.Form?.ToString().ToLowerInvariant() ?? "unknown"}";
        if (trail.RaisedAtG is null && now > raiseAt && !HasRisen(Of(jump.Form, leg == Leg.Left ? Leg.Right : Leg.Left)))
        {
            trail.RaisedAtG = raiseAt;
            Point(subject).Set(true, at, new(
                $"Landing shock of one leg has risen: median of the last {rule.RecentLandings} landings {Text(now)} g, raised above {Text(raiseAt)} g ({subject}).",
                now, raiseAt, [jump.Id]));
        }
        else if (trail.RaisedAtG is not null && now < rule.ClearShare * raiseAt)
        {
            trail.RaisedAtG = null;
            Point(subject).Set(false, at);
        }
    }

    // Null when the landing has no shock of one leg.
    private Trail? Add(LandingVerdict landing)
    {
        if (landing.Jump is not { LandingLeg: Leg.Left or Leg.Right, LandingShock: { } shock } jump || !landing.IsMeasured)
        {
            return null;
        }

        var trail = Of(jump.Form, jump.LandingLeg.Value);
        trail.Shocks.Add(shock.ShockG);
        if (trail.Shocks.Count > rule.BaselineLandings + rule.RecentLandings)
        {
            trail.Shocks.RemoveAt(0);
        }

        return trail;
    }

    private double[] Baseline(Trail trail) => Robust.Sorted(trail.Shocks.SkipLast(rule.RecentLandings));

    // The factor that staff set, the error of the sensor, and what two medians differ by scatter alone when they are compared after every landing.
    private double RaiseAt(double[] baseline)
    {
        var baselineG = Robust.Quantile(baseline, 0.5);
        var chance = Robust.Looks * Math.Sqrt((1.0 / rule.RecentLandings) + (1.0 / baseline.Length)) * Robust.MedianError(1, 1) * Robust.FewFactor(baseline.Length);
        return Math.Max(Math.Max(rule.RaiseFactor * baselineG, baselineG + Reliability.MinimalDetectableChange(rule.ShockErrorG)), Robust.FarAbove(baseline, chance));
    }

    // Half the way is enough: when both legs rise, one of them is a landing behind.
    private bool HasRisen(Trail other)
    {
        if (other.Shocks.Count < LeastBaseline + rule.RecentLandings)
        {
            return false;
        }

        var baseline = Baseline(other);
        return Robust.Median(other.Shocks.TakeLast(rule.RecentLandings)) > (Robust.Quantile(baseline, 0.5) + RaiseAt(baseline)) / 2;
    }

    private Trail Of(ElementForm? form, Leg leg)
    {
        if (!_trails.TryGetValue((form, leg), out var trail))
        {
            _trails[(form, leg)] = trail = new();
        }

        return trail;
    }

    private sealed class Trail
    {
        public List<double> Shocks { get; } = [];

        public double? RaisedAtG { get; set; }
    }
}

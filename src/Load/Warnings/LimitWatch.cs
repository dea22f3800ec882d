using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Counts against the limits of the day.</summary>
internal sealed class LimitWatch(LimitRule rule, AthleteId athlete, Journal journal) : Watch(rule, athlete, journal)
{
    private DayLimits? _limits;
    private int _jumps;
    private int _left;
    private int _right;
    private int _belowHeight;
    private int _belowShock;

    public override SampleTime? NextDue => _limits?.To;

    public override void Due(SampleTime at)
    {
        _limits = null;
        foreach (var point in Points)
        {
            point.Set(false, at);
        }
    }

    public override void Limited(DayLimits limits, IReadOnlyList<CountedJump> counted, SampleTime at)
    {
        if (limits.Source != rule.Source)
        {
            return;
        }

        (_limits, _jumps, _left, _right) = (limits, 0, 0, 0);
        foreach (var jump in counted.Where(IsInside))
        {
            Count(jump);
        }

        Counts(at, null);
        if (limits.HeightM is null)
        {
            Point("height").Set(false, at);
        }

        if (limits.ShockG is null)
        {
            Point("shock").Set(false, at);
        }
    }

    public override void Learned(LandingVerdict landing)
    {
        if (IsInside(landing.Jump))
        {
            Count(landing.Jump);
        }
    }

    public override void Landed(LandingVerdict landing, IReadOnlyList<CountedJump> session, SampleTime at)
    {
        var jump = landing.Jump;
        if (_limits is not { } limits || !IsInside(jump))
        {
            return;
        }

        Count(jump);
        Counts(at, jump.Id);
        if (limits.HeightM is { } limitM && jump.HeightM is { } heightM)
        {
            Value("height", heightM > limitM, heightM < rule.ClearShare * limitM, ref _belowHeight, at,
                new($"Height {Text(heightM)} m; limit {Text(limitM)} m.", heightM, limitM, [jump.Id]));
        }

        if (limits.ShockG is { } limitG && jump.LandingShock is { } shock)
        {
            Value("shock", shock.Saturated || shock.ShockG > limitG, shock.ShockG < rule.ClearShare * limitG, ref _belowShock, at,
                new($"Landing shock {(shock.Saturated ? "at least " : "")}{Text(shock.ShockG)} g; limit {Text(limitG)} g.", shock.ShockG, limitG, [jump.Id]));
        }
    }

    private bool IsInside(CountedJump jump) => _limits is { } limits && jump.LandingTime >= limits.From && jump.LandingTime < limits.To;

    private void Count(CountedJump jump)
    {
        _jumps++;
        _left += jump.LandingLeg is Leg.Left or Leg.Both ? 1 : 0;
        _right += jump.LandingLeg is Leg.Right or Leg.Both ? 1 : 0;
    }

    private void Counts(SampleTime at, string? jump)
    {
        One("jumps", _jumps, _limits!.Jumps, "Jumps");
        One("left", _left, _limits.LeftLandings, "Landings with the left leg");
        One("right", _right, _limits.RightLandings, "Landings with the right leg");

        // A raised limit (staff changed the plan) ends the warning; a count alone never falls.
        void One(string subject, int count, int? limit, string what) => Point(subject).Set(
            limit is { } most && count > rule.RaiseShare * most,
            at,
            new($"{what}: {count}; limit {limit}.", count, limit, jump is null ? [] : [jump]));
    }

    private void Value(string subject, bool above, bool below, ref int inRow, SampleTime at, WarningDetail detail)
    {
        inRow = below && !above ? inRow + 1 : 0;
        if (above)
        {
            Point(subject).Set(true, at, detail);
        }
        else if (inRow >= rule.ClearAfterLandings)
        {
            Point(subject).Set(false, at);
        }
    }
}

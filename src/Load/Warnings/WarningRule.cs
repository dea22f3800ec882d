using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>A rule, as configured. There is no kind that takes the acute-to-chronic ratio.</summary>
public abstract record WarningRule
{
    private protected WarningRule()
    {
    }

    /// <summary>Id, unique among the rules: 1 to 32 characters a-z, 0-9 or the hyphen. Part of each warning's id.</summary>
    public required string Id { get; init; }

    /// <summary>Priority; default low.</summary>
    public WarningPriority Priority { get; init; }

    /// <summary>Announce again when still active after this time, s, 60 to 86400; null (default) for never.</summary>
    public double? ReAlarmAfterS { get; init; }

    /// <summary>How long the condition must hold before the warning, s, 0 to 3600; default 0.</summary>
    public double OnDelayS { get; init; }

    /// <summary>How long the condition must be gone before the return, s, 0 to 3600; default 0.</summary>
    public double OffDelayS { get; init; }

    /// <summary>Channel, fixed by the kind.</summary>
    public abstract WarningChannel Channel { get; }

    internal abstract void Check(FaultList list);

    internal IReadOnlyList<Fault> Faults(string where)
    {
        var list = new FaultList(where);
        if (!IdText.IsValid(Id))
        {
            list.Add(nameof(Id), $"'{Id}'", IdText.Allowed);
        }

        if (!Enum.IsDefined(Priority))
        {
            list.Add(nameof(Priority), $"{(int)Priority}", "Low, Medium, High");
        }

        list.Number(ReAlarmAfterS, 60, 86_400, nameof(ReAlarmAfterS));
        list.Number(OnDelayS, 0, 3600, nameof(OnDelayS));
        list.Number(OffDelayS, 0, 3600, nameof(OffDelayS));
        Check(list);
        return list.Faults;
    }
}

/// <summary>So many landings of a class, within so many landings, so much time, or both.</summary>
/// <param name="AtLeast">Hard, or saturated.</param>
/// <param name="Count">How many, 1 to 50.</param>
/// <param name="WithinLandings">Among the last so many measured landings, from <paramref name="Count"/> to 100; null for any.</param>
/// <param name="WithinS">Within this time, s, 1 to 3600; null for any.</param>
public sealed record LandingCriterion(LandingClass AtLeast, int Count, int? WithinLandings = null, double? WithinS = null);

/// <summary>A series of hard landings of one leg. One warning for each leg, whichever criterion was first.</summary>
public sealed record LandingCountRule : WarningRule
{
    /// <summary>Any of them raises, 1 to 10; default one saturated, two hard in 5 landings, three hard in 60 s (a proposal, no source).</summary>
    public IReadOnlyList<LandingCriterion> Criteria { get; init; } =
        [new(LandingClass.Saturated, 1), new(LandingClass.Hard, 2, WithinLandings: 5), new(LandingClass.Hard, 3, WithinS: 60)];

    /// <summary>Clears after so many measured landings in a row that are not hard, 1 to 100; default 10.</summary>
    public int ClearAfterLandings { get; init; } = 10;

    /// <summary>Clears so long after the last hard landing, s, 10 to 3600; default 300.</summary>
    public double ClearAfterS { get; init; } = 300;

    /// <inheritdoc/>
    public override WarningChannel Channel => WarningChannel.Landing;

    internal override void Check(FaultList list)
    {
        list.Number(ClearAfterLandings, 1, 100, nameof(ClearAfterLandings));
        list.Number(ClearAfterS, 10, 3600, nameof(ClearAfterS));
        if (Criteria is not { Count: >= 1 and <= 10 })
        {
            list.Add(nameof(Criteria), $"{Criteria?.Count ?? 0} criteria", "1 to 10");
            return;
        }

        for (var i = 0; i < Criteria.Count; i++)
        {
            var criterion = Criteria[i];
            var key = $"{nameof(Criteria)}[{i}].";
            if (criterion.AtLeast is not (LandingClass.Hard or LandingClass.Saturated))
            {
                list.Add($"{key}AtLeast", $"{criterion.AtLeast}", "Hard, Saturated");
            }

            list.Number(criterion.Count, 1, 50, $"{key}Count");
            list.Number(criterion.WithinLandings, Math.Max(1, criterion.Count), 100, $"{key}WithinLandings");
            list.Number(criterion.WithinS, 1, 3600, $"{key}WithinS");
            if (criterion is { Count: > 1, WithinLandings: null, WithinS: null })
            {
                list.Add($"{key}WithinLandings", "nothing", "WithinLandings, WithinS or both when Count is above 1");
            }
        }
    }
}

/// <summary>The shock of one leg has risen against her own earlier landings of the same form, and that of the other has risen by less than half as much.</summary>
public sealed record ShockRiseRule : WarningRule
{
    /// <summary>Landings whose median is "now", 5 to 50; default 20. Fewer are faster, and see only a larger rise above the scatter.</summary>
    public int RecentLandings { get; init; } = 20;

    /// <summary>Landings before them that are the baseline, 20 to 500; default 100. At least 20 must be there.</summary>
    public int BaselineLandings { get; init; } = 100;

    /// <summary>
    /// Raised when now exceeds the baseline by this factor, 1.05 to 3; default 1.25 (a proposal, no source). It must also exceed what medians differ by chance: four standard errors on the
    /// logarithm, since it is looked at after every landing.
    /// </summary>
    public double RaiseFactor { get; init; } = 1.25;

    /// <summary>Cleared below this share of the raising value, 0.5 to 1; default 0.9.</summary>
    public double ClearShare { get; init; } = 0.9;

    /// <summary>Standard error of a shock, g, 0 to 20; default 0.63. The rise must also exceed the minimal detectable change.</summary>
    public double ShockErrorG { get; init; } = 0.63;

    /// <inheritdoc/>
    public override WarningChannel Channel => WarningChannel.Landing;

    internal override void Check(FaultList list)
    {
        list.Number(RecentLandings, 5, 50, nameof(RecentLandings));
        list.Number(BaselineLandings, 20, 500, nameof(BaselineLandings));
        list.Number(RaiseFactor, 1.05, 3, nameof(RaiseFactor));
        list.Number(ClearShare, 0.5, 1, nameof(ClearShare));
        list.Number(ShockErrorG, 0, 20, nameof(ShockErrorG));
    }
}

/// <summary>A limit of the day is exceeded: count, count of a leg, height, shock.</summary>
public sealed record LimitRule : WarningRule
{
    /// <summary>Which limits.</summary>
    public LimitSource Source { get; init; }

    /// <summary>Share of a count limit above which it is raised, 0.5 to 2; default 1. Heights and shocks use the limit itself.</summary>
    public double RaiseShare { get; init; } = 1;

    /// <summary>Share of a height or shock limit below which jumps count towards clearing, 0.5 to 1; default 0.9.</summary>
    public double ClearShare { get; init; } = 0.9;

    /// <summary>A height or shock warning clears after so many such jumps in a row, 1 to 100; default 10. Counts clear at the end of the day.</summary>
    public int ClearAfterLandings { get; init; } = 10;

    /// <inheritdoc/>
    public override WarningChannel Channel => WarningChannel.Overload;

    internal override void Check(FaultList list)
    {
        list.Number(RaiseShare, 0.5, 2, nameof(RaiseShare));
        list.Number(ClearShare, 0.5, 1, nameof(ClearShare));
        list.Number(ClearAfterLandings, 1, 100, nameof(ClearAfterLandings));
        if (!Enum.IsDefined(Source))
        {
            list.Add(nameof(Source), $"{(int)Source}", "Plan, ReturnToPlay");
        }
    }
}

/// <summary>Advice: height fell, contact grew or shock rose inside the session, for one element and beyond error.</summary>
public sealed record FatigueRule : WarningRule
{
    /// <summary>Fewest jumps and errors.</summary>
    public FatigueOptions Options { get; init; } = new();

    /// <summary>Cleared below this share of the change that counts, 0.5 to 1; default 0.75.</summary>
    public double ClearShare { get; init; } = 0.75;

    /// <inheritdoc/>
    public override WarningChannel Channel => WarningChannel.Advice;

    internal override void Check(FaultList list)
    {
        list.Number(ClearShare, 0.5, 1, nameof(ClearShare));
        list.AddAll(Options.Faults());
    }
}

/// <summary>Advice: the symmetry of the session's landing shocks differs from her own earlier sessions.</summary>
public sealed record AsymmetryRule : WarningRule
{
    /// <summary>Form whose landings are compared; default leap.</summary>
    public ElementForm Form { get; init; }

    /// <summary>Fewest landings of each leg, 3 to 100; default 10.</summary>
    public int FewestPerLeg { get; init; } = 10;

    /// <summary>Cleared below this share of the change that counts, 0.5 to 1; default 0.75.</summary>
    public double ClearShare { get; init; } = 0.75;

    /// <summary>Fewest sessions and error.</summary>
    public FatigueOptions Options { get; init; } = new();

    /// <inheritdoc/>
    public override WarningChannel Channel => WarningChannel.Advice;

    internal override void Check(FaultList list)
    {
        list.Number(FewestPerLeg, 3, 100, nameof(FewestPerLeg));
        list.Number(ClearShare, 0.5, 1, nameof(ClearShare));
        list.AddAll(Options.Faults());
    }
}

/// <summary>A fault of a sensor. Values are in the unit of the kind.</summary>
public sealed record SensorRule : WarningRule
{
    /// <summary>Which figure.</summary>
    public required SensorFaultKind Kind { get; init; }

    /// <summary>Value from which it is raised (battery: at or below; all others: at or above), 0 to 86400.</summary>
    public required double RaiseAt { get; init; }

    /// <summary>Cleared only beyond this distance back from the raising value, 0 to 86400; default 0.</summary>
    public double Deadband { get; init; }

    /// <inheritdoc/>
    public override WarningChannel Channel => WarningChannel.Sensor;

    internal override void Check(FaultList list)
    {
        list.Number(RaiseAt, 0, 86_400, nameof(RaiseAt));
        list.Number(Deadband, 0, 86_400, nameof(Deadband));
        if (!Enum.IsDefined(Kind))
        {
            list.Add(nameof(Kind), $"{(int)Kind}", "Silent, Battery, Clipped, Clock, Loss");
        }
    }
}

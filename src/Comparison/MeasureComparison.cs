namespace Saltograph.Comparison;

/// <summary>Where a figure of certainty comes from.</summary>
public enum UncertaintyBasis
{
    /// <summary>There is none.</summary>
    None,

    /// <summary>From the standard uncertainties that the records state: how well these very jumps were measured.</summary>
    Records,

    /// <summary>From the spread of the jumps: how they vary, the measuring included.</summary>
    Spread,
}

/// <summary>What may be said of a difference.</summary>
public enum Verdict
{
    /// <summary>Not measured on one side.</summary>
    NotMeasured,

    /// <summary>Too few jumps of the same athlete, and no stated uncertainties.</summary>
    TooFewJumps,

    /// <summary>Inside what scatter alone can do.</summary>
    NoChangeCanBeTold,

    /// <summary>B is larger, beyond the detectable change.</summary>
    Larger,

    /// <summary>B is smaller, beyond the detectable change.</summary>
    Smaller,

    /// <summary>A sensor was at its rail, and the bound does not decide.</summary>
    AtTheRail,
}

/// <summary>One measure, group B against group A. All figures in the unit of the measure.</summary>
public sealed record MeasureComparison
{
    /// <summary>Which.</summary>
    public required Measure Measure { get; init; }

    /// <summary>The first group; null when it was measured in none of its jumps.</summary>
    public required GroupStatistics? A { get; init; }

    /// <summary>The second group.</summary>
    public required GroupStatistics? B { get; init; }

    /// <summary>Mean of B minus mean of A; null when not measured on one side.</summary>
    public double? Difference { get; init; }

    /// <summary>Whether the difference is a bound: a mean with values at the rail is "at least".</summary>
    public bool IsBound { get; init; }

    /// <summary>Standard uncertainty of the difference: from the records when all state one, else from the spread.</summary>
    public double? StandardUncertainty { get; init; }

    /// <summary>Which of the two.</summary>
    public UncertaintyBasis StandardUncertaintyBasis { get; init; }

    /// <summary>95 per cent interval of the difference: after Welch where there is spread, else from the records.</summary>
    public Interval? Interval95 { get; init; }

    /// <summary>Which of the two.</summary>
    public UncertaintyBasis IntervalBasis { get; init; }

    /// <summary>Hedges' g, see <see cref="EffectSize"/>.</summary>
    public double? HedgesG { get; init; }

    /// <summary>Smallest difference of these two means that is more than scatter, see <see cref="Comparison.DetectableChange"/>.</summary>
    public double? DetectableChange { get; init; }

    /// <summary>The same for two single jumps.</summary>
    public double? DetectableChangeOfTwoJumps { get; init; }

    /// <summary>Where both come from.</summary>
    public UncertaintyBasis DetectableChangeBasis { get; init; }

    /// <summary>What may be said.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>Size of the difference in detectable changes; null when one of them is not known or zero.</summary>
    public double? ChangeRatio => Difference is { } difference && DetectableChange is > 0 ? Math.Abs(difference) / DetectableChange : null;

    /// <summary>The difference in words of the trade; null when nothing can be told.</summary>
    public string? Words => Verdict switch
    {
        Verdict.Larger => Measure.Larger,
        Verdict.Smaller => Measure.Smaller,
        _ => null,
    };
}

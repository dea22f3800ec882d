using Saltograph.Comparison;

namespace Saltograph.Service.Validation;

/// <summary>The errors of one measure under one condition.</summary>
/// <param name="Measure">Which.</param>
/// <param name="Errors">One per jump that has it.</param>
internal sealed record ErrorSummary(ValidatedMeasure Measure, IReadOnlyList<MeasuredError> Errors)
{
    /// <summary>Bias and limits of agreement; null with fewer than two jumps.</summary>
    public Agreement? Agreement { get; } = Comparison.Agreement.Of([.. Errors.Select(error => error.Error)]);

    /// <summary>Half of the sizes of the errors are not larger; null without errors.</summary>
    public double? Median => Percentile(0.5);

    /// <summary>95 of 100 sizes are not larger.</summary>
    public double? P95 => Percentile(0.95);

    /// <summary>Root mean square of error over stated uncertainty: 1 when the uncertainties are right, more when they promise too much.</summary>
    public double? Calibration
    {
        get
        {
            var stated = Errors.Where(error => error.Uncertainty is not null).ToList();
            return stated.Count == 0 ? null : Math.Sqrt(stated.Average(error => Math.Pow(error.Error / error.Uncertainty!.Value, 2)));
        }
    }

    /// <summary>How many records state an uncertainty.</summary>
    public int Stated => Errors.Count(error => error.Uncertainty is not null);

    private double? Percentile(double share)
    {
        var sorted = Errors.Select(error => Math.Abs(error.Error)).Order().ToArray();
        return sorted.Length == 0 ? null : sorted[(int)Math.Ceiling(share * sorted.Length) - 1];
    }
}

namespace Saltograph.Ahrs;

/// <summary>
/// Allan deviation of evenly spaced readings: how much means over a time differ from one to the next. Definitions after
/// W. J. Riley, "Handbook of Frequency Stability Analysis", NIST Special Publication 1065, 2008, sections 5.2.1 and 5.2.4.
/// </summary>
public static class AllanDeviation
{
    /// <summary>Flicker floor of the deviation over the bias instability: sqrt(2 ln 2 / pi) (IEEE Std 952-1997, from memory).</summary>
    public const double FloorPerBiasInstabilityRatio = 0.664;

    /// <summary>From neighbouring means that do not overlap. Null with fewer than two means.</summary>
    /// <param name="readings">Evenly spaced readings.</param>
    /// <param name="averaged">How many readings form a mean, 1 or more.</param>
    public static double? NonOverlapping(ReadOnlySpan<double> readings, int averaged)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(averaged, 1);
        var means = readings.Length / averaged;
        if (means < 2)
        {
            return null;
        }

        double sum = 0;
        var last = Sum(readings[..averaged]);
        for (var k = 1; k < means; k++)
        {
            var next = Sum(readings.Slice(k * averaged, averaged));
            sum += (next - last) * (next - last);
            last = next;
        }

        return Math.Sqrt(sum / (2 * (means - 1))) / averaged;
    }

    /// <summary>From all pairs of neighbouring means: the better estimate. Null with fewer than two means.</summary>
    /// <param name="readings">Evenly spaced readings.</param>
    /// <param name="averaged">How many readings form a mean, 1 or more.</param>
    public static double? Overlapping(ReadOnlySpan<double> readings, int averaged)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(averaged, 1);
        var pairs = readings.Length - (2 * averaged) + 1;
        if (pairs < 1)
        {
            return null;
        }

        // The difference of both sums slides along: one reading in, one changes sides, one out.
        var difference = Sum(readings.Slice(averaged, averaged)) - Sum(readings[..averaged]);
        var sum = difference * difference;
        for (var i = 1; i < pairs; i++)
        {
            difference += readings[i - 1] - (2 * readings[i - 1 + averaged]) + readings[i - 1 + (2 * averaged)];
            sum += difference * difference;
        }

        return Math.Sqrt(sum / (2.0 * pairs)) / averaged;
    }

    /// <summary>The curve over averaging times that grow by a quarter of an octave or one sample, to a third of the recording.</summary>
    /// <param name="readings">Evenly spaced readings.</param>
    /// <param name="intervalS">Sample interval, s.</param>
    public static IReadOnlyList<AllanPoint> Curve(ReadOnlySpan<double> readings, double intervalS)
    {
        Allowed.Range(intervalS, 1e-6, 1e6);
        var points = new List<AllanPoint>();
        for (var averaged = 1; averaged <= readings.Length / 3; averaged = Math.Max(averaged + 1, (int)(averaged * 1.19)))
        {
            points.Add(new(averaged * intervalS, Overlapping(readings, averaged)!.Value));
        }

        return points;
    }

    private static double Sum(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (var value in values)
        {
            sum += value;
        }

        return sum;
    }
}

/// <summary>One point of an Allan curve.</summary>
/// <param name="AveragingTimeS">Averaging time, s.</param>
/// <param name="Deviation">Allan deviation, unit of the readings.</param>
public readonly record struct AllanPoint(double AveragingTimeS, double Deviation);

/// <summary>The two noise figures read off an Allan curve of a resting sensor.</summary>
/// <param name="WhiteNoisePerRootHz">White noise: the deviation at 1 s along its slope -1/2, unit/sqrt(Hz). For a gyroscope: the angle random walk.</param>
/// <param name="BiasInstability">Smallest deviation over 0.664, unit of the readings.</param>
public readonly record struct AllanNoise(double WhiteNoisePerRootHz, double BiasInstability)
{
    /// <summary>Reads them off: white noise is the median of deviation times root of time over times up to 1 s (or the first point).</summary>
    /// <param name="curve">At least one point.</param>
    public static AllanNoise Of(IReadOnlyList<AllanPoint> curve)
    {
        ArgumentNullException.ThrowIfNull(curve);
        ArgumentOutOfRangeException.ThrowIfZero(curve.Count, nameof(curve));
        double[] early =
        [
            .. curve.Where(p => p.AveragingTimeS <= 1).DefaultIfEmpty(curve[0])
                .Select(p => p.Deviation * Math.Sqrt(p.AveragingTimeS)).Order(),
        ];
        return new(
            early[early.Length / 2],
            curve.Min(p => p.Deviation) / AllanDeviation.FloorPerBiasInstabilityRatio);
    }

    /// <summary>Angle random walk in the unit of data sheets: 0.005 deg/s/sqrt(Hz) is 0.3 deg/sqrt(h).</summary>
    /// <param name="radpsPerRootHz">In rad/s/sqrt(Hz).</param>
    public static double DegPerRootHour(double radpsPerRootHz) => radpsPerRootHz * Imu.Angles.DegPerRad * 60;
}

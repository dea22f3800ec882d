using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Cuts the curves of a jump out of the kept samples, once, when it has been measured.</summary>
internal static class JumpCurvesCut
{
    private const double PreparationS = 0.5;
    private const double AbsorptionS = 0.3;

    /// <summary>The record with its curves; as it was when the trunk's samples no longer reach back so far.</summary>
    public static JumpRecord With(JumpRecord record, SampleTrack trunk, SampleTrack? left, SampleTrack? right)
    {
        var times = Nodes(record);
        if (!trunk.Covers(times[0], record.LandingTime))
        {
            return record;
        }

        var nodes = times.Length;
        var timeS = new double[nodes];
        var acceleration = new double[nodes];
        var velocity = new double[nodes];
        var turnRate = new double[nodes];
        for (var i = 0; i < nodes; i++)
        {
            timeS[i] = times[i] - record.TakeoffTime;
            velocity[i] = trunk.VelocityChangeMps(record.PeakTime, times[i]);

            // A phase without length has no step; then the step is that of one sample.
            var from = Between(times[Math.Max(0, i - 1)], times[i]);
            var to = Between(times[i], times[Math.Min(nodes - 1, i + 1)]);
            var shortest = 1 / trunk.SampleRateHz;
            if (to - from < shortest)
            {
                (from, to) = (times[i].PlusSeconds(-shortest / 2), times[i].PlusSeconds(shortest / 2));
            }

            acceleration[i] = trunk.VelocityChangeMps(from, to) / (to - from);
            turnRate[i] = trunk.TurnRad(from, to) / (to - from) * Angles.DegPerRad;
        }

        var inclinationLeft = Inclination(left, times);
        var inclinationRight = Inclination(right, times);
        return record with
        {
            Curves = new()
            {
                TimeS = timeS,
                AccelerationUpMps2 = acceleration,
                VelocityUpMps = velocity,
                TurnRateDps = turnRate,
                InclinationLeftDeg = inclinationLeft,
                InclinationRightDeg = inclinationRight,
                SplitAngleDeg = Split(inclinationLeft, inclinationRight, record.SplitAngleDeg),
            },
        };
    }

    private static SampleTime[] Nodes(JumpRecord record)
    {
        var pushOff = record.TakeoffTime.PlusSeconds(-(record.PushOffTimeS ?? 0));
        var start = pushOff.PlusSeconds(-PreparationS);
        if (record.Series?.ContactTimeS is { } contactS)
        {
            var previous = record.TakeoffTime.PlusSeconds(-contactS);
            pushOff = pushOff < previous ? previous : pushOff;
            start = start < previous ? previous : start;
        }

        SampleTime[] borders = [start, pushOff, record.TakeoffTime, record.LandingTime, record.LandingTime.PlusSeconds(record.AbsorptionTimeS ?? AbsorptionS)];
        var times = new SampleTime[JumpCurves.NodeCount];
        for (var phase = 0; phase + 1 < borders.Length; phase++)
        {
            var (first, last) = (JumpCurves.PhaseStarts[phase], JumpCurves.PhaseStarts[phase + 1]);
            for (var node = first; node <= last; node++)
            {
                times[node] = borders[phase].PlusSeconds((borders[phase + 1] - borders[phase]) * (node - first) / (last - first));
            }
        }

        return times;
    }

    private static SampleTime Between(SampleTime a, SampleTime b) => a.PlusSeconds((b - a) / 2);

    private static double[]? Inclination(SampleTrack? shank, SampleTime[] times) =>
        shank?.UpSensor is { } upSensor && shank.Covers(times[0], times[JumpCurves.PhaseStarts[^2]])
            ? [.. times.Select(time => SplitMeasure.InclinationDeg(shank, shank[shank.IndexNearest(time)].EarthFromSensor, upSensor))]
            : null;

    /// <summary>
    /// Two inclinations add up when the legs are on different sides of the vertical and differ when on the same; which it is, is settled in the measure. Here the one
    /// is taken whose largest value in the flight is nearer to the measured one.
    /// </summary>
    private static double[]? Split(double[]? left, double[]? right, double? largestDeg)
    {
        if (left is null || right is null || largestDeg is not { } largest)
        {
            return null;
        }

        double[] sums = [.. left.Zip(right, (a, b) => Math.Abs(a) + Math.Abs(b))];
        double[] signed = [.. left.Zip(right, (a, b) => Math.Abs(a - b))];
        return Math.Abs(LargestInFlight(sums) - largest) <= Math.Abs(LargestInFlight(signed) - largest) ? sums : signed;
    }

    private static double LargestInFlight(double[] values) => values[JumpCurves.PhaseStarts[2]..(JumpCurves.PhaseStarts[3] + 1)].Max();
}

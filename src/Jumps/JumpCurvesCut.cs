using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Cuts the curves of a jump out of the kept samples, once, when it has been measured.</summary>
internal static class JumpCurvesCut
{
    private const double PreparationS = 0.5;
    private const double AbsorptionS = 0.3;

    // Room for the shock filter at both ends.
    private const double FilterMarginS = 0.08;

    /// <summary>The record with its curves; as it was when the trunk's samples no longer reach back so far.</summary>
    public static JumpRecord With(JumpRecord record, SampleTrack trunk, SampleTrack? left, SampleTrack? right, JumpOptions options)
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
                SplitAngleDeg = record.SplitAngleDeg is not null && inclinationLeft is not null && inclinationRight is not null
                    ? [.. inclinationLeft.Zip(inclinationRight, (a, b) => SplitMeasure.AngleDeg(a, b, record.Form, left?.LeftSensor is not null && right?.LeftSensor is not null))]
                    : null,
                InclinationTrunkDeg = trunk.UpSensor is { } up ? [.. times.Select(time => SizeDeg(trunk, time, up))] : null,
                ConstantMomentumRateDps = ConstantMomentum.RatesDps(timeS, turnRate, inclinationLeft, inclinationRight),
                ForceTrunkG = Force(trunk, times, options),
                ForceAnkleLeftG = Force(left, times, options),
                ForceAnkleRightG = Force(right, times, options),
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

    private static double SizeDeg(SampleTrack trunk, SampleTime time, Vector3D upSensor)
    {
        var up = trunk[trunk.IndexNearest(time)].EarthFromSensor.Rotate(upSensor);
        return Math.Atan2(Math.Sqrt((up.X * up.X) + (up.Y * up.Y)), up.Z) * Angles.DegPerRad;
    }

    private static double[]? Force(SampleTrack? track, SampleTime[] times, JumpOptions options)
    {
        if (track is null || !track.Covers(times[0], times[^1]))
        {
            return null;
        }

        var first = track.IndexAtOrAfter(times[0].PlusSeconds(-FilterMarginS));
        var stop = track.IndexAtOrAfter(times[^1].PlusSeconds(FilterMarginS));
        var magnitudesG = ShockMeasure.MagnitudesG(track, first, stop, options);
        var largest = new double[times.Length];
        for (var i = 0; i < times.Length; i++)
        {
            var nearest = track.IndexNearest(times[i]);
            var from = Math.Min(nearest, track.IndexAtOrAfter(Between(times[Math.Max(0, i - 1)], times[i])));
            var to = Math.Max(nearest, track.IndexAtOrAfter(Between(times[i], times[Math.Min(times.Length - 1, i + 1)])) - 1);
            for (var k = Math.Max(from, first); k <= Math.Min(to, stop - 1); k++)
            {
                largest[i] = Math.Max(largest[i], magnitudesG[k - first]);
            }
        }

        return largest;
    }

    // From before the take-off to the landing as the split is measured, else by the orientation filter: 1 to 2 deg apart.
    private static double[]? Inclination(SampleTrack? shank, SampleTime[] times)
    {
        var (takeoff, landing) = (times[JumpCurves.PhaseStarts[2]], times[JumpCurves.PhaseStarts[3]]);
        if (shank?.UpSensor is not { } upSensor || !shank.Covers(times[0], landing) || !SplitMeasure.IsCarried(shank, takeoff, landing))
        {
            return null;
        }

        var first = SplitMeasure.CarriedFrom(shank, takeoff);
        var carried = SplitMeasure.Carried(shank, takeoff, landing);
        return [.. times.Select(time =>
        {
            var index = shank.IndexNearest(time);
            var toEarth = time <= landing && index >= first && index - first < carried.Length ? carried[index - first] : shank[index].EarthFromSensor;
            return SplitMeasure.InclinationDeg(shank, toEarth, upSensor);
        })];
    }
}

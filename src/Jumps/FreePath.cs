using MathNet.Numerics.LinearAlgebra;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>One instant of a <see cref="FreePath"/>; integrals since take-off, negative times before it.</summary>
/// <param name="TimeS">Since take-off, s.</param>
/// <param name="VelocityMps">Integral of the acceleration, m/s.</param>
/// <param name="PathM">Integral of that, m.</param>
/// <param name="OffsetVelocityS">What an offset of 1 m/s2 on the floor adds to the velocity, s.</param>
/// <param name="OffsetPathS2">What it adds to the path, s2.</param>
/// <param name="OnFloor">Whether the floor carried a good part of the body.</param>
/// <param name="Still">Whether the athlete stood still.</param>
internal readonly record struct FreePathPoint(
    double TimeS, double VelocityMps, double PathM, double OffsetVelocityS, double OffsetPathS2, bool OnFloor, bool Still);

/// <summary>
/// Velocity and path of the centre of mass around one flight by integration from take-off both ways, with free fall inside the flight
/// whatever the sensors read there.
/// </summary>
internal sealed class FreePath
{
    // On the floor the centre of mass stays within a body's reach: 0.1 m around its mean over a push-off, a step, an absorption.
    private const double FloorSpreadM = 0.10;
    private const double FloorMemoryS = 0.25;

    // Standing still it does not move.
    private const double StillSpreadMps = 0.005;
    private const double StillMemoryS = 0.25;

    // Offset left after the last standing rest, and of an accelerometer that never stood still.
    private const double KnownOffsetMps2 = 0.05;
    private const double UnknownOffsetMps2 = 0.3;

    private const double OnFloorShareOfG = 0.5;

    private FreePath()
    {
    }

    public required IReadOnlyList<FreePathPoint> Points { get; init; }

    public required double FlightTimeS { get; init; }

    public required double GravityMps2 { get; init; }

    public required double IntervalS { get; init; }

    /// <summary>Whether the athlete has stood still before, so that the accelerometer's offset is known.</summary>
    public required bool OffsetKnown { get; init; }

    /// <summary>Integrates over the samples [first, end) of the force, m/s2.</summary>
    public static FreePath Over(
        SampleTrack trunk, LocalSignal force, int first, int end, SampleTime takeoff, double flightTimeS, double gravityMps2)
    {
        var restMps2 = trunk.GravityReferenceMps2;
        var before = force.IndexAtOrAfter(takeoff);
        var points = new FreePathPoint[end - first];

        var last = default(FreePathPoint);
        for (var i = before; i < end; i++)
        {
            points[i - first] = last = Next(last, i, force.TimeAt(i) - takeoff);
        }

        last = default;
        for (var i = Math.Min(before, end) - 1; i >= first; i--)
        {
            points[i - first] = last = Next(last, i, force.TimeAt(i) - takeoff);
        }

        return new()
        {
            Points = points,
            FlightTimeS = flightTimeS,
            GravityMps2 = gravityMps2,
            IntervalS = 1 / trunk.SampleRateHz,
            OffsetKnown = trunk.UpSensor is not null,
        };

        FreePathPoint Next(in FreePathPoint from, int index, double timeS)
        {
            // Over the step the acceleration changes linearly; where the step enters or leaves the flight, so does what it counts.
            var stepS = timeS - from.TimeS;
            var floorShare = stepS == 0 ? 0 : 1 - (Overlap(from.TimeS, timeS, flightTimeS) / Math.Abs(stepS));
            var previous = from.TimeS == 0 ? timeS : from.TimeS;
            var meanForce = (force.At(takeoff.PlusSeconds(previous)) + force[index]) / 2;
            var acceleration = (floorShare * (meanForce - restMps2)) - ((1 - floorShare) * gravityMps2);
            var velocity = from.VelocityMps + (stepS * acceleration);
            var offsetVelocity = from.OffsetVelocityS + (stepS * floorShare);
            var inFlight = timeS > 0 && timeS < flightTimeS;
            return new(
                timeS,
                velocity,
                from.PathM + (stepS * (from.VelocityMps + velocity) / 2),
                offsetVelocity,
                from.OffsetPathS2 + (stepS * (from.OffsetVelocityS + offsetVelocity) / 2),
                !inFlight && force[index] > OnFloorShareOfG * restMps2,
                trunk[trunk.IndexNearest(force.TimeAt(index))].IsStill);
        }
    }

    /// <summary>
    /// Height and velocity at take-off and offset of the acceleration on the floor, by least squares: what is known of the motion
    /// is that it stays on the floor, and stands still at times.
    /// </summary>
    /// <param name="drop">How much lower the landing is than the take-off, m, when that is to count too.</param>
    public (Vector<double> Found, Matrix<double> Covariance) Settle(Estimate? drop)
    {
        var normal = Matrix<double>.Build.Dense(3, 3);
        var right = Vector<double>.Build.Dense(3);
        foreach (var point in Points)
        {
            if (point.OnFloor)
            {
                Add([1, point.TimeS, point.OffsetPathS2], -point.PathM, FloorSpreadM, IntervalS / FloorMemoryS);
            }

            if (point.Still)
            {
                Add([0, 1, point.OffsetVelocityS], -point.VelocityMps, StillSpreadMps, IntervalS / StillMemoryS);
            }
        }

        Add([0, 0, 1], 0, OffsetKnown ? KnownOffsetMps2 : UnknownOffsetMps2, 1);
        if (drop is { } usual)
        {
            Add([0, FlightTimeS, 0], (GravityMps2 * FlightTimeS * FlightTimeS / 2) - usual.Value, usual.Uncertainty, 1);
        }

        return (normal.Cholesky().Solve(right), normal.Inverse());

        void Add(ReadOnlySpan<double> row, double value, double spread, double count)
        {
            var weight = count / (spread * spread);
            for (var i = 0; i < 3; i++)
            {
                right[i] += weight * row[i] * value;
                for (var j = 0; j < 3; j++)
                {
                    normal[i, j] += weight * row[i] * row[j];
                }
            }
        }
    }

    private static double Overlap(double a, double b, double flightTimeS) =>
        Math.Max(0, Math.Min(Math.Max(a, b), flightTimeS) - Math.Max(Math.Min(a, b), 0));
}

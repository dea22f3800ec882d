using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Checks the input of the forms that take a whole recording: a wrong one is a wrong call.</summary>
internal static class SeriesInput
{
    public static void Check(ReadOnlySpan<Vector3D> rates, ReadOnlySpan<Vector3D> forces, ReadOnlySpan<Vector3D> fields)
    {
        if (forces.Length != rates.Length || (!fields.IsEmpty && fields.Length != rates.Length))
        {
            throw new ArgumentException(
                $"{rates.Length} angular rates, {forces.Length} specific forces, {fields.Length} magnetic fields; allowed: equal numbers, or no field at all.",
                nameof(rates));
        }

        Require(rates, UpdateResult.LargestRateRadps, "angular rate");
        Require(forces, UpdateResult.LargestForceMps2, "specific force");
        Require(fields, UpdateResult.LargestField, "magnetic field");
    }

    private static void Require(ReadOnlySpan<Vector3D> values, double limit, string what)
    {
        for (var i = 0; i < values.Length; i++)
        {
            var v = values[i];
            if (!(Math.Abs(v.X) <= limit && Math.Abs(v.Y) <= limit && Math.Abs(v.Z) <= limit))
            {
                throw new ArgumentException(
                    FormattableString.Invariant($"{what} of sample {i} is ({v.X}, {v.Y}, {v.Z}); allowed: finite, up to {limit} on each axis."), nameof(values));
            }
        }
    }
}

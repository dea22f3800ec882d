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

        Finite(rates, "angular rate");
        Finite(forces, "specific force");
        Finite(fields, "magnetic field");
    }

    private static void Finite(ReadOnlySpan<Vector3D> values, string what)
    {
        for (var i = 0; i < values.Length; i++)
        {
            if (!values[i].IsFinite)
            {
                throw new ArgumentException($"{what} of sample {i} is {values[i]}; allowed: finite numbers.", nameof(values));
            }
        }
    }
}

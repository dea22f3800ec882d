using System.Formats.Cbor;
using Saltograph.Jumps;

namespace Saltograph.Service.Durability;

/// <summary>
/// The course of a jump as bytes for the store: a CBOR map (RFC 8949) from short keys to arrays of whole numbers, each the difference to the one before it, in steps of
/// the curve's last kept decimal. Curves that were not measured are left out; keys that a reader does not know are passed over.
/// </summary>
internal static class CurveBytes
{
    // The last decimal is well below what each sensor can tell.
    private static readonly Curve[] Curves =
    [
        new("t", 5, curves => curves.TimeS, (curves, values) => curves with { TimeS = values }),
        new("a", 2, curves => curves.AccelerationUpMps2, (curves, values) => curves with { AccelerationUpMps2 = values }),
        new("v", 3, curves => curves.VelocityUpMps, (curves, values) => curves with { VelocityUpMps = values }),
        new("w", 1, curves => curves.TurnRateDps, (curves, values) => curves with { TurnRateDps = values }),
        new("il", 1, curves => curves.InclinationLeftDeg, (curves, values) => curves with { InclinationLeftDeg = values }),
        new("ir", 1, curves => curves.InclinationRightDeg, (curves, values) => curves with { InclinationRightDeg = values }),
        new("s", 1, curves => curves.SplitAngleDeg, (curves, values) => curves with { SplitAngleDeg = values }),
        new("it", 1, curves => curves.InclinationTrunkDeg, (curves, values) => curves with { InclinationTrunkDeg = values }),
        new("m", 1, curves => curves.ConstantMomentumRateDps, (curves, values) => curves with { ConstantMomentumRateDps = values }),
        new("ft", 2, curves => curves.ForceTrunkG, (curves, values) => curves with { ForceTrunkG = values }),
        new("fl", 2, curves => curves.ForceAnkleLeftG, (curves, values) => curves with { ForceAnkleLeftG = values }),
        new("fr", 2, curves => curves.ForceAnkleRightG, (curves, values) => curves with { ForceAnkleRightG = values }),
    ];

    /// <summary>Packs.</summary>
    public static byte[] Pack(JumpCurves curves)
    {
        var cbor = new CborWriter(CborConformanceMode.Strict);
        var measured = Curves.Where(curve => curve.Of(curves) is not null).ToArray();
        cbor.WriteStartMap(measured.Length);
        foreach (var curve in measured)
        {
            var values = curve.Of(curves)!;
            cbor.WriteTextString(curve.Key);
            cbor.WriteStartArray(values.Count);
            var last = 0L;
            foreach (var value in values)
            {
                var steps = (long)Math.Round(value * curve.StepsPerUnit);
                cbor.WriteInt64(steps - last);
                last = steps;
            }

            cbor.WriteEndArray();
        }

        cbor.WriteEndMap();
        return cbor.Encode();
    }

    /// <summary>Unpacks; values are as they were to the kept decimal.</summary>
    /// <exception cref="CborContentException">The bytes are not what <see cref="Pack"/> makes.</exception>
    public static JumpCurves Unpack(byte[] bytes)
    {
        var cbor = new CborReader(bytes, CborConformanceMode.Strict);
        var curves = new JumpCurves { TimeS = [], AccelerationUpMps2 = [], VelocityUpMps = [], TurnRateDps = [] };
        try
        {
            for (var left = cbor.ReadStartMap(); left > 0; left--)
            {
                var key = cbor.ReadTextString();
                if (Array.Find(Curves, curve => curve.Key == key) is { } known)
                {
                    curves = known.Set(curves, Values(cbor, known));
                }
                else
                {
                    cbor.SkipValue();
                }
            }

            cbor.ReadEndMap();
        }
        catch (Exception problem) when (problem is InvalidOperationException or OverflowException)
        {
            throw new CborContentException("The bytes are no packed curves.", problem);
        }

        var flight = JumpCurves.PhaseStarts[3] - JumpCurves.PhaseStarts[2] + 1;
        return Array.TrueForAll(Curves, curve => curve.Of(curves) is null || curve.Of(curves)!.Count == (curve.Key == "m" ? flight : JumpCurves.NodeCount))
            ? curves
            : throw new CborContentException("A packed curve does not have its number of nodes.");
    }

    private static double[] Values(CborReader cbor, Curve curve)
    {
        var values = new double[cbor.ReadStartArray() ?? throw new CborContentException("A packed curve does not tell its length.")];
        var last = 0L;
        for (var i = 0; i < values.Length; i++)
        {
            last += cbor.ReadInt64();
            values[i] = last / curve.StepsPerUnit; // the double nearest to the decimal
        }

        cbor.ReadEndArray();
        return values;
    }

    private sealed record Curve(string Key, int Digits, Func<JumpCurves, IReadOnlyList<double>?> Of, Func<JumpCurves, double[], JumpCurves> Set)
    {
        public double StepsPerUnit { get; } = Math.Pow(10, Digits);
    }
}

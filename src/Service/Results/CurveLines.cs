using System.Globalization;
using System.Text;
using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Service.Results;

/// <summary>
/// Curves of jumps as JSON Lines, one jump per line: <c>athlete</c>, <c>number</c>, <c>takeoffS</c>, <c>phaseStarts</c> (nodes at which preparation, push-off, flight and
/// absorption begin, and the last), then lists with one number per node: <c>timeS, accelerationUpMps2, velocityUpMps, turnRateDps, inclinationLeftDeg,
/// inclinationRightDeg, splitAngleDeg, inclinationTrunkDeg, constantMomentumRateDps</c> (nodes of the flight only)<c>, forceTrunkG, forceAnkleLeftG, forceAnkleRightG</c>; null for a curve that was not measured. Last <c>shockTransferDb</c>, one number or null: see <see cref="JumpRecord.ShockTransferDb"/>. Keys and order stay; new ones are added at the end.
/// </summary>
internal static class CurveLines
{
    /// <summary>Writes a file anew; jumps without curves are left out.</summary>
    public static void WriteFile(string path, AthleteId athlete, IEnumerable<JumpRecord> jumps)
    {
        var text = new StringBuilder();
        foreach (var jump in jumps.Where(jump => jump.Curves is not null))
        {
            Write(text, athlete, jump, jump.Curves!);
        }

        WholeFile.Write(path, text.ToString());
    }

    private static void Write(StringBuilder text, AthleteId athlete, JumpRecord jump, JumpCurves curves)
    {
        text.Append(CultureInfo.InvariantCulture, $"{{\"athlete\":\"{athlete}\",\"number\":{jump.Number},\"takeoffS\":{jump.TakeoffTime.Microseconds / 1_000_000m},\"phaseStarts\":[{string.Join(',', JumpCurves.PhaseStarts)}]");
        List(text, "timeS", curves.TimeS, 5);
        List(text, "accelerationUpMps2", curves.AccelerationUpMps2, 3);
        List(text, "velocityUpMps", curves.VelocityUpMps, 4);
        List(text, "turnRateDps", curves.TurnRateDps, 2);
        List(text, "inclinationLeftDeg", curves.InclinationLeftDeg, 2);
        List(text, "inclinationRightDeg", curves.InclinationRightDeg, 2);
        List(text, "splitAngleDeg", curves.SplitAngleDeg, 2);
        List(text, "inclinationTrunkDeg", curves.InclinationTrunkDeg, 2);
        List(text, "constantMomentumRateDps", curves.ConstantMomentumRateDps, 2);
        List(text, "forceTrunkG", curves.ForceTrunkG, 3);
        List(text, "forceAnkleLeftG", curves.ForceAnkleLeftG, 3);
        List(text, "forceAnkleRightG", curves.ForceAnkleRightG, 3);
        text.Append(CultureInfo.InvariantCulture, $",\"shockTransferDb\":{(jump.ShockTransferDb is { } db ? Math.Round(db, 2).ToString(CultureInfo.InvariantCulture) : "null")}}}\n");
    }

    private static void List(StringBuilder text, string key, IReadOnlyList<double>? values, int digits)
    {
        text.Append(",\"").Append(key).Append("\":");
        if (values is null)
        {
            text.Append("null");
            return;
        }

        // Plus zero takes the sign off a negative zero.
        text.Append('[').AppendJoin(',', values.Select(value => (Math.Round(value, digits) + 0.0).ToString(CultureInfo.InvariantCulture))).Append(']');
    }
}

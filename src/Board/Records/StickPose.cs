using Saltograph.Imu;

namespace Saltograph.Board.Records;

/// <summary>A leg of a stick figure; angles from hanging straight down, deg, positive to the front.</summary>
/// <param name="Side"><c>left</c> or <c>right</c>.</param>
/// <param name="ThighDeg">Thigh: not measured, drawn so that it fits.</param>
/// <param name="ShankDeg">Shank, measured.</param>
/// <param name="Stands">Whether its foot is on the floor.</param>
public sealed record StickLeg(string Side, double ThighDeg, double ShankDeg, bool Stands)
{
    /// <summary>How far the ankle is below the hip, m.</summary>
    public double DropM => (StickPose.ThighM * Math.Cos(ThighDeg * Angles.RadPerDeg)) + (StickPose.ShankM * Math.Cos(ShankDeg * Angles.RadPerDeg));
}

/// <summary>
/// A side view of a body at one instant of a jump, facing the right, from what three sensors tell: the inclination of both shanks and by how much, not to which side,
/// the trunk leans. In the air, at take-off and at first contact knees are drawn straight; at the deepest point the hip is drawn above the foot that stands.
/// </summary>
/// <param name="Instant"><c>takeoff</c>, <c>top</c>, <c>landing</c> or <c>deepest</c>.</param>
/// <param name="TimeS">Time about take-off, s.</param>
/// <param name="HipM">Height of the hip above the floor, m.</param>
/// <param name="TrunkLeanDeg">Trunk from upright, without a side; null when not measured.</param>
/// <param name="Legs">The legs that were measured.</param>
/// <param name="SidesAssumed">Whether front and rear were not known: the take-off leg, or the one that lands later, is then drawn behind, and none when the legs did not part.</param>
public sealed record StickPose(string Instant, double TimeS, double HipM, double? TrunkLeanDeg, IReadOnlyList<StickLeg> Legs, bool SidesAssumed)
{
    /// <summary>Height of the body that is drawn, m.</summary>
    public const double BodyM = 1.6;

    // Shares of the body's height after Winter, Biomechanics and Motor Control of Human Movement, figure 4.1, from memory.
    internal const double ThighM = 0.245 * BodyM;
    internal const double ShankM = 0.246 * BodyM;
    internal const double AnkleM = 0.039 * BodyM;
    internal const double TrunkM = 0.288 * BodyM;
    internal const double NeckM = 0.09 * BodyM;

    // A shank that swings to both sides by this much has a sign; one that never does is a size only.
    private const double SignFromDeg = 5;

    /// <summary>The key instants of a jump, in order; the deepest only when the absorption was measured.</summary>
    public static IReadOnlyList<StickPose> Of(JumpCourse course, JumpSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(course);
        ArgumentNullException.ThrowIfNull(sheet);
        var (takeoffFoot, landingFoot) = (sheet.Word("takeoffFoot"), sheet.Word("landingFoot"));
        var top = course.NodeAt((sheet.PeakUs - sheet.TakeoffUs) / 1e6);
        var rear = Rear(course, sheet, top);
        var takeoff = Pose("takeoff", course.Takeoff, takeoffFoot, null);
        List<StickPose> poses =
        [
            takeoff,
            Pose("top", top, null, takeoff.HipM + (sheet.Number("trunkRiseM") ?? sheet.Number("heightM") ?? 0)),
            Pose("landing", course.Landing, landingFoot, null),
        ];
        if (sheet.Number("absorptionTimeS") is not null)
        {
            poses.Add(Pose("deepest", course.PhaseStarts[^1], landingFoot, null));
        }

        return poses;

        StickPose Pose(string instant, int node, string? standing, double? hipM)
        {
            var (left, right) = (course.InclinationLeftDeg, course.InclinationRightDeg);
            var assumed = left is not null && right is not null && !(IsSigned(left) && IsSigned(right));
            var legs = new List<StickLeg>();
            foreach (var (side, values) in new[] { ("left", left), ("right", right) })
            {
                if (values is not null)
                {
                    var shank = !assumed ? values[node] : side == rear ? -Math.Abs(values[node]) : Math.Abs(values[node]);
                    var stands = standing is not null && (standing == side || standing == "both");
                    legs.Add(new(side, instant == "deepest" && stands ? -shank : shank, shank, stands));
                }
            }

            // Without a foot that is known to stand, the lower ankle does.
            if (hipM is null && legs.Count > 0 && legs.TrueForAll(leg => !leg.Stands))
            {
                var lowest = legs.IndexOf(legs.MaxBy(leg => leg.DropM)!);
                legs[lowest] = legs[lowest] with { Stands = true };
            }

            var standsM = legs.Where(leg => leg.Stands).Select(leg => leg.DropM).DefaultIfEmpty(ThighM + ShankM).Max() + AnkleM;
            return new(instant, course.TimeS[node], hipM ?? standsM, course.InclinationTrunkDeg?[node], legs, assumed);
        }
    }

    // A leap lands on its front leg. From two feet to two, legs whose split is the sum of both inclinations were parted: which of them behind is then no matter.
    private static string? Rear(JumpCourse course, JumpSheet sheet, int top) => (sheet.Word("takeoffFoot"), sheet.Word("landingFoot")) switch
    {
        ("left", _) => "left",
        ("right", _) => "right",
        (_, "left") => "right",
        (_, "right") => "left",
        _ => course.InclinationLeftDeg is { } left && course.InclinationRightDeg is { } right
            && sheet.Number("splitAngleAtPeakDeg") > Math.Max(Math.Abs(left[top]), Math.Abs(right[top])) + SignFromDeg ? "left" : null,
    };

    private static bool IsSigned(IReadOnlyList<double> values) => values.Min() < -SignFromDeg && values.Max() > SignFromDeg;
}

using Saltograph.Board.Records;
using Saltograph.Jumps;
using Saltograph.Service.Durability;
using Saltograph.Store;

namespace Saltograph.Service.Api;

/// <summary>The course of a jump; null for a curve that was not measured.</summary>
/// <param name="Id">Event id of the jump.</param>
/// <param name="PhaseStarts">Nodes at which preparation, push-off, flight and absorption begin, and the last node.</param>
/// <param name="TimeS">Time about take-off, s.</param>
/// <param name="AccelerationUpMps2">Vertical acceleration of the trunk, m/s2.</param>
/// <param name="VelocityUpMps">Vertical velocity of the trunk, m/s.</param>
/// <param name="TurnRateDps">Turn rate of the trunk about the vertical, deg/s.</param>
/// <param name="InclinationLeftDeg">Left shank from hanging, deg.</param>
/// <param name="InclinationRightDeg">Right shank from hanging, deg.</param>
/// <param name="SplitAngleDeg">Split angle, deg.</param>
/// <param name="InclinationTrunkDeg">Trunk from upright, deg.</param>
/// <param name="ConstantMomentumRateDps">Turn rate by the legs' opening alone, nodes of the flight, deg/s.</param>
/// <param name="ForceTrunkG">Specific force at the trunk, g.</param>
/// <param name="ForceAnkleLeftG">Specific force at the left shank, g.</param>
/// <param name="ForceAnkleRightG">Specific force at the right shank, g.</param>
internal sealed record JumpCurvesBody(
    string Id,
    IReadOnlyList<int> PhaseStarts,
    IReadOnlyList<double> TimeS,
    IReadOnlyList<double> AccelerationUpMps2,
    IReadOnlyList<double> VelocityUpMps,
    IReadOnlyList<double> TurnRateDps,
    IReadOnlyList<double>? InclinationLeftDeg,
    IReadOnlyList<double>? InclinationRightDeg,
    IReadOnlyList<double>? SplitAngleDeg,
    IReadOnlyList<double>? InclinationTrunkDeg,
    IReadOnlyList<double>? ConstantMomentumRateDps,
    IReadOnlyList<double>? ForceTrunkG,
    IReadOnlyList<double>? ForceAnkleLeftG,
    IReadOnlyList<double>? ForceAnkleRightG)
{
    /// <summary>Of stored curves.</summary>
    public static JumpCurvesBody Of(string id, JumpCurves curves) => new(
        id, JumpCurves.PhaseStarts, curves.TimeS, curves.AccelerationUpMps2, curves.VelocityUpMps, curves.TurnRateDps, curves.InclinationLeftDeg, curves.InclinationRightDeg, curves.SplitAngleDeg,
        curves.InclinationTrunkDeg, curves.ConstantMomentumRateDps, curves.ForceTrunkG, curves.ForceAnkleLeftG, curves.ForceAnkleRightG);
}

/// <summary>Stored courses of jumps, for programs and for the pages.</summary>
internal sealed class JumpCourses(HallView store) : IJumpCourses
{
    /// <summary>The course of a jump; null when none was stored.</summary>
    public async Task<JumpCurves?> CurvesAsync(string id, CancellationToken stop) => await store.Jumps.CurvesAsync(id, stop) is { } bytes ? CurveBytes.Unpack(bytes) : null;

    /// <inheritdoc/>
    public async Task<JumpCourse?> FindAsync(string id, CancellationToken stop) => await CurvesAsync(id, stop) is not { } curves ? null : new()
    {
        PhaseStarts = JumpCurves.PhaseStarts,
        TimeS = curves.TimeS,
        AccelerationUpMps2 = curves.AccelerationUpMps2,
        VelocityUpMps = curves.VelocityUpMps,
        TurnRateDps = curves.TurnRateDps,
        InclinationLeftDeg = curves.InclinationLeftDeg,
        InclinationRightDeg = curves.InclinationRightDeg,
        SplitAngleDeg = curves.SplitAngleDeg,
        InclinationTrunkDeg = curves.InclinationTrunkDeg,
        ConstantMomentumRateDps = curves.ConstantMomentumRateDps,
        ForceTrunkG = curves.ForceTrunkG,
        ForceAnkleLeftG = curves.ForceAnkleLeftG,
        ForceAnkleRightG = curves.ForceAnkleRightG,
    };
}

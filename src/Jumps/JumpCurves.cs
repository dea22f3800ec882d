using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// The course of one jump at fixed places of its phases, so that jumps of different length can be laid over each other: preparation
/// (0.5 s before the push-off, cut at the previous landing), push-off, flight, absorption (landing to the trunk's lowest point, or 0.3 s when that was not
/// measured). Each phase has the same number of steps in every jump; neighbouring phases share the node between them. All lists but one have <see cref="NodeCount"/> entries.
/// </summary>
public sealed record JumpCurves
{
    /// <summary>Nodes per jump.</summary>
    public const int NodeCount = 161;

    private static readonly int[] Starts = [0, 20, 60, 120, NodeCount - 1];

    /// <summary>Nodes at which preparation, push-off, flight and absorption begin, and the last node.</summary>
    public static IReadOnlyList<int> PhaseStarts => Starts;

    /// <summary>Time about take-off, s; never falls.</summary>
    public required IReadOnlyList<double> TimeS { get; init; }

    /// <summary>Vertical acceleration of the trunk sensor, up positive, -g in free fall, m/s2: mean from half a step before the node to half a step after it, so that no step is left out.</summary>
    public required IReadOnlyList<double> AccelerationUpMps2 { get; init; }

    /// <summary>Vertical velocity of the trunk sensor, up positive, 0 at the peak, m/s.</summary>
    public required IReadOnlyList<double> VelocityUpMps { get; init; }

    /// <summary>Turn rate of the trunk about the vertical, counter-clockwise positive, deg/s: mean as for the acceleration.</summary>
    public required IReadOnlyList<double> TurnRateDps { get; init; }

    /// <summary>Inclination of the left shank from hanging straight down, deg: positive to the front while front and rear are known, else its size. Null without that sensor, or before it was known upright.</summary>
    public IReadOnlyList<double>? InclinationLeftDeg { get; init; }

    /// <summary>The same of the right shank.</summary>
    public IReadOnlyList<double>? InclinationRightDeg { get; init; }

    /// <summary>Split angle of both shanks, deg, by the rule of the record's; null when the record has none.</summary>
    public IReadOnlyList<double>? SplitAngleDeg { get; init; }

    /// <summary>Inclination of the trunk from upright, deg, without a side (a trunk sensor does not know where the front is); null before it was known upright.</summary>
    public IReadOnlyList<double>? InclinationTrunkDeg { get; init; }

    /// <summary>
    /// Turn rate in the air that the opening of the legs alone would give, deg/s: angular momentum constant, the same turn in all (see <see cref="ConstantMomentum"/>).
    /// For the nodes of the flight only, from take-off to landing; null without both inclinations.
    /// </summary>
    public IReadOnlyList<double>? ConstantMomentumRateDps { get; init; }

    /// <summary>Magnitude of the trunk's specific force, g, 1 at rest, through the shock filter: the largest from half a step before the node to half a step after it, so that no peak is left out.</summary>
    public IReadOnlyList<double>? ForceTrunkG { get; init; }

    /// <summary>The same of the left shank; null without that sensor.</summary>
    public IReadOnlyList<double>? ForceAnkleLeftG { get; init; }

    /// <summary>The same of the right shank.</summary>
    public IReadOnlyList<double>? ForceAnkleRightG { get; init; }

    /// <summary>Place of a node on the axis of phases: 0 to 1 preparation, to 2 push-off, to 3 flight, to 4 absorption.</summary>
    public static double PhaseOf(int node)
    {
        if (node is < 0 or >= NodeCount)
        {
            throw new ArgumentOutOfRangeException(nameof(node), FormattableString.Invariant($"The node is {node}; allowed: 0 to {NodeCount - 1}."));
        }

        var phase = 0;
        while (phase < Starts.Length - 2 && node >= Starts[phase + 1])
        {
            phase++;
        }

        return phase + ((node - Starts[phase]) / (double)(Starts[phase + 1] - Starts[phase]));
    }

    /// <summary>Same numbers at all nodes.</summary>
    public bool Equals(JumpCurves? other) => other is not null && Same(TimeS, other.TimeS) && Same(AccelerationUpMps2, other.AccelerationUpMps2)
        && Same(VelocityUpMps, other.VelocityUpMps) && Same(TurnRateDps, other.TurnRateDps) && Same(InclinationLeftDeg, other.InclinationLeftDeg)
        && Same(InclinationRightDeg, other.InclinationRightDeg) && Same(SplitAngleDeg, other.SplitAngleDeg)
        && Same(InclinationTrunkDeg, other.InclinationTrunkDeg) && Same(ConstantMomentumRateDps, other.ConstantMomentumRateDps)
        && Same(ForceTrunkG, other.ForceTrunkG) && Same(ForceAnkleLeftG, other.ForceAnkleLeftG) && Same(ForceAnkleRightG, other.ForceAnkleRightG);

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(TimeS[0], TimeS[NodeCount - 1], AccelerationUpMps2[0]);

    private static bool Same(IReadOnlyList<double>? a, IReadOnlyList<double>? b) => a is null ? b is null : b is not null && a.SequenceEqual(b);
}

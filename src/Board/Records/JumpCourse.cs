namespace Saltograph.Board.Records;

/// <summary>
/// The course of a jump at nodes of its phases: preparation, push-off, flight, absorption. Lists have one number per node, but for
/// <see cref="ConstantMomentumRateDps"/>; null for what was not measured.
/// </summary>
public sealed record JumpCourse
{
    /// <summary>Nodes at which preparation, push-off, flight and absorption begin, and the last node.</summary>
    public required IReadOnlyList<int> PhaseStarts { get; init; }

    /// <summary>Time about take-off, s.</summary>
    public required IReadOnlyList<double> TimeS { get; init; }

    /// <summary>Vertical acceleration of the trunk, m/s2, -g in free fall.</summary>
    public required IReadOnlyList<double> AccelerationUpMps2 { get; init; }

    /// <summary>Vertical velocity of the trunk, m/s.</summary>
    public required IReadOnlyList<double> VelocityUpMps { get; init; }

    /// <summary>Turn rate about the vertical, deg/s, positive to the left.</summary>
    public required IReadOnlyList<double> TurnRateDps { get; init; }

    /// <summary>Left shank from hanging straight down, deg, positive to the front.</summary>
    public IReadOnlyList<double>? InclinationLeftDeg { get; init; }

    /// <summary>Right shank likewise.</summary>
    public IReadOnlyList<double>? InclinationRightDeg { get; init; }

    /// <summary>Split angle, deg.</summary>
    public IReadOnlyList<double>? SplitAngleDeg { get; init; }

    /// <summary>Trunk from upright, deg, without a side.</summary>
    public IReadOnlyList<double>? InclinationTrunkDeg { get; init; }

    /// <summary>Turn rate that the opening of the legs alone would give, deg/s; nodes of the flight, from take-off to landing.</summary>
    public IReadOnlyList<double>? ConstantMomentumRateDps { get; init; }

    /// <summary>Specific force at the trunk, g.</summary>
    public IReadOnlyList<double>? ForceTrunkG { get; init; }

    /// <summary>Specific force at the left shank, g.</summary>
    public IReadOnlyList<double>? ForceAnkleLeftG { get; init; }

    /// <summary>Specific force at the right shank, g.</summary>
    public IReadOnlyList<double>? ForceAnkleRightG { get; init; }

    /// <summary>First node of the flight: take-off.</summary>
    public int Takeoff => PhaseStarts[2];

    /// <summary>Last node of the flight: first contact.</summary>
    public int Landing => PhaseStarts[3];

    /// <summary>The node nearest to a time.</summary>
    public int NodeAt(double timeS)
    {
        var nearest = 0;
        for (var node = 1; node < TimeS.Count; node++)
        {
            nearest = Math.Abs(TimeS[node] - timeS) < Math.Abs(TimeS[nearest] - timeS) ? node : nearest;
        }

        return nearest;
    }
}

/// <summary>Finds courses of jumps.</summary>
public interface IJumpCourses
{
    /// <summary>The course of a jump; null when none was kept.</summary>
    Task<JumpCourse?> FindAsync(string id, CancellationToken stop);
}

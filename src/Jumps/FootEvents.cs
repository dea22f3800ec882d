using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Take-off and landing of one jump, with the feet as far as the shanks show them.</summary>
internal readonly record struct FootEvents
{
    public required SampleTime Takeoff { get; init; }

    public required SampleTime Landing { get; init; }

    /// <summary>How long the push took to fade, s.</summary>
    public double FadeS { get; init; }

    /// <summary>Standard uncertainty of the take-off where the shank of the foot showed it, s.</summary>
    public double? ToeOffSigmaS { get; init; }

    /// <summary>How long the load took to come, s.</summary>
    public double FlankS { get; init; }

    public Foot? TakeoffFoot { get; init; }

    public Foot? LandingFoot { get; init; }

    public SampleTime? LeftContact { get; init; }

    public SampleTime? RightContact { get; init; }

    /// <summary>Whether a contact transient gave the landing.</summary>
    public bool LandingIsSharp { get; init; }

    public double FlightTimeS => Landing - Takeoff;

    public double? SecondFootLagS => LeftContact is { } left && RightContact is { } right ? Math.Abs(left - right) : null;

    public JumpForm? Form => (TakeoffFoot, LandingFoot) switch
    {
        (null, _) or (_, null) => null,
        (Foot.Both, Foot.Both) => JumpForm.Jump,
        (Foot.Both, _) => JumpForm.Sissonne,
        (_, Foot.Both) => JumpForm.Assemble,
        var (from, to) => from == to ? JumpForm.Hop : JumpForm.Leap,
    };
}

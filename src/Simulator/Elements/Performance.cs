using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Form of a jump by its feet.</summary>
public enum JumpForm
{
    /// <summary>One foot to the other.</summary>
    Leap,

    /// <summary>One foot to the same.</summary>
    Hop,

    /// <summary>Two feet to two.</summary>
    Jump,

    /// <summary>One foot to two.</summary>
    Assemble,

    /// <summary>Two feet to one.</summary>
    Sissonne,
}

/// <summary>A movement that must not be counted as a jump.</summary>
public enum DistractorKind
{
    /// <summary>Quiet standing; the long axes come from here.</summary>
    Standing,

    /// <summary>Walking.</summary>
    Walking,

    /// <summary>Running: flights of 0.05 to 0.17 s.</summary>
    Running,

    /// <summary>Jogging on the spot.</summary>
    Jogging,

    /// <summary>Chasse: a small flight of 0.06 to 0.15 s with the feet closing.</summary>
    Chasse,

    /// <summary>Turning steps on the floor.</summary>
    TurningSteps,

    /// <summary>Several turns on the ball of one foot.</summary>
    Pirouette,

    /// <summary>Knees bent slowly.</summary>
    Squat,

    /// <summary>Knees bent fast: the trunk is unloaded for a moment.</summary>
    FastDip,

    /// <summary>Trunk bent deeply forward.</summary>
    DeepBend,

    /// <summary>Sitting or lying down, rolling, getting up.</summary>
    FloorWork,

    /// <summary>Steps up and down a low box, as on stairs.</summary>
    Stairs,

    /// <summary>Throwing an apparatus with the arms.</summary>
    ArmThrow,

    /// <summary>A knock on a sensor.</summary>
    SensorKnock,

    /// <summary>Straps put on or taken off: the sensor is in the hand.</summary>
    Handling,

    /// <summary>Standing still, rising on the toes, lifting the left foot: a check of the sensors.</summary>
    SensorCheck,
}

/// <summary>One flight of the plan, before it is measured.</summary>
internal sealed record PlannedJump(
    JumpForm Form, bool[] TakeoffLegs, bool[] LandingLegs, Launched Launched, double? SecondContactS, double PreviousLandingS,
    int SeriesId, int SeriesPosition, int FirstFoot);

/// <summary>A stretch that must not be counted.</summary>
internal sealed record PlannedDistractor(DistractorKind Kind, double StartS, double EndS, double LongestFlightS);

using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>All that changes in a <see cref="MadgwickFilter"/>; a copy is an exact checkpoint.</summary>
public record struct MadgwickState
{
    internal SampleGate Gate;
    internal RestState Rest;
    internal Rotation EarthFromSensor;
    internal Vector3D BiasRadps;
    internal bool Levelled;
    internal bool Headed;
}

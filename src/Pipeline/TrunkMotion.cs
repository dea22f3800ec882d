using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Pipeline;

/// <summary>The motion of the trunk at one sample, in the earth frame.</summary>
/// <param name="Time">Hall time.</param>
/// <param name="VerticalAccelerationMps2">Upward acceleration of the sensor, m/s2: 0 at rest, about -9.81 in free flight.</param>
/// <param name="TurnRateRadps">Rate about the vertical, rad/s, positive to the left.</param>
public readonly record struct TrunkMotion(SampleTime Time, double VerticalAccelerationMps2, double TurnRateRadps)
{
    internal static TrunkMotion Of(in MotionSample trunk) => new(
        trunk.Time,
        trunk.EarthFromSensor.Rotate(trunk.SpecificForceSensorMps2).Z - Gravity.StandardMps2,
        trunk.EarthFromSensor.Rotate(trunk.AngularRateSensorRadps).Z);
}

using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Tells quiet standing: the body sways, but goes nowhere.</summary>
/// <remarks>
/// Wider than the rest of an orientation filter, which learns a gyroscope bias from it: a person who stands quietly sways
/// at some deg/s and would hardly ever count. What is learnt here, the upright axis, the reading at one g and "no vertical
/// velocity", suffers little from sway: 5 mm at 0.5 Hz are 1.6 cm/s.
/// </remarks>
internal struct StillDetector
{
    private const double MeanTimeConstantS = 0.3;
    private const double LargestDeviationMps2 = 0.6;
    private const double LargestRateRadps = 12 * Angles.RadPerDeg;
    private const double LeastDurationS = 0.6;

    // A sensor that reads nothing at all, at the end of an input or unplugged, does not move either.
    private const double GravityTolerance = 0.1;

    private Vector3D _mean;
    private double _stillS;
    private bool _started;

    /// <summary>Takes one sample; true when the sensor has been still for long enough.</summary>
    public bool Push(in Vector3D specificForceSensorMps2, in Vector3D angularRateSensorRadps, double intervalS)
    {
        _mean = _started ? _mean + ((specificForceSensorMps2 - _mean) * (intervalS / MeanTimeConstantS)) : specificForceSensorMps2;
        _started = true;
        var quiet = (specificForceSensorMps2 - _mean).Length < LargestDeviationMps2
            && angularRateSensorRadps.Length < LargestRateRadps
            && Math.Abs(_mean.Length - Gravity.StandardMps2) < GravityTolerance * Gravity.StandardMps2;
        _stillS = quiet ? _stillS + intervalS : 0;
        return _stillS >= LeastDurationS;
    }
}

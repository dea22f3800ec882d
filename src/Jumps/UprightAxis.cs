using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// Learns the long axis of a segment in the frame of its sensor: while the athlete stands still, the specific force points
/// up along it, however the strap is turned.
/// </summary>
/// <remarks>
/// Still is not yet standing: athletes also sit and lie. What tells them apart is the mean direction of the specific force
/// over all the time in motion, which in walking, running and jumping stays within some 20 deg of the upright shank. A
/// rest whose direction is further from it than <see cref="StandingWithinRad"/> is not used.
/// </remarks>
internal struct UprightAxis
{
    private const double StandingWithinRad = 45 * Angles.RadPerDeg;
    private const double MotionNeededS = 5;
    private const double MotionTimeConstantS = 30;

    // A single rest is often a pose, one foot ahead or the knees pushed back, some 15 deg off; half a minute of standing, all over a training, is not.
    private const double RestTimeConstantS = 30;
    private const double DoubtedRestS = 2;

    private Vector3D _motion;
    private double _motionS;
    private Vector3D _rest;
    private double _restS;

    /// <summary>Unit vector up along the segment, sensor frame; null before the first quiet standing.</summary>
    public readonly Vector3D? UpSensor
    {
        get
        {
            if (_restS <= 0)
            {
                return null;
            }

            var up = _rest.Normalized();
            return IsStanding(up) ? up : null;
        }
    }

    /// <summary>The same after an interruption: most likely the strap sits where it sat, but the next rest of some seconds shall outweigh what was.</summary>
    public readonly UprightAxis Doubted => this with { _restS = Math.Min(_restS, DoubtedRestS), _motionS = Math.Min(_motionS, MotionNeededS) };

    /// <summary>Takes one sample.</summary>
    public void Push(in Vector3D specificForceSensorMps2, bool still, double intervalS)
    {
        if (!still)
        {
            // The mean starts as a plain mean and turns into an exponential one.
            _motionS += intervalS;
            _motion += (specificForceSensorMps2 - _motion) * (intervalS / Math.Min(_motionS, MotionTimeConstantS));
            return;
        }

        var direction = specificForceSensorMps2.Normalized();
        if (!IsStanding(direction))
        {
            return;
        }

        if (_restS > 0 && !IsStanding(_rest.Normalized()))
        {
            // What was learnt before there was motion to judge it by turns out not to have been standing.
            _restS = 0;
        }

        _restS += intervalS;
        _rest += (direction - _rest) * (intervalS / Math.Min(_restS, RestTimeConstantS));
    }

    private readonly bool IsStanding(in Vector3D direction) =>
        _motionS < MotionNeededS || Vector3D.Dot(direction, _motion.Normalized()) > Math.Cos(StandingWithinRad);
}

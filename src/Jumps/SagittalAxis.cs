using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// Learns in which direction of the sensor the knee bends: the axis across the shank about which it swings, and which end of
/// it points to the athlete's left.
/// </summary>
/// <remarks>
/// The direction is the main axis of the turn rate across the long axis (principal component; W. Kong et al. 2016, Sensors
/// 16:2011, do so for walking). Its sign comes from a fact of the trade (common practice, no source): while the foot stands,
/// the shank rolls forward over it, top first, in walking, running, push-off and absorption, a positive turn about the
/// left. That the fastest turns are those of a leg swung forward holds for walking, not for leaps, and is not used.
/// Without magnetometers the headings of two shanks have nothing in common, but front and rear of each can be told.
/// </remarks>
internal struct SagittalAxis
{
    private const double LeastRateRadps = 1;
    private const double StandingWithinMps2 = 2;
    private const double TimeConstantS = 600;
    private const double NeededS = 4;
    private const double DoubtedS = 20;

    // The main axis must carry this share of the turn rate across the long axis.
    private const double LeastShare = 0.6;

    private Vector3D _across;
    private Vector3D _along;
    private Vector3D _forwardRoll;
    private double _xx;
    private double _xy;
    private double _yy;
    private double _movedS;

    /// <summary>The same after an interruption: what is learnt from now on soon outweighs what was.</summary>
    public readonly SagittalAxis Doubted => this with { _movedS = Math.Min(_movedS, DoubtedS) };

    /// <summary>Takes one sample; nothing is learnt before the long axis is known.</summary>
    /// <param name="specificForceSensorMps2">Accelerometer, m/s2.</param>
    /// <param name="angularRateSensorRadps">Gyroscope, rad/s.</param>
    /// <param name="upSensor">Up along the segment.</param>
    /// <param name="intervalS">Sample interval, s.</param>
    public void Push(in Vector3D specificForceSensorMps2, in Vector3D angularRateSensorRadps, Vector3D? upSensor, double intervalS)
    {
        if (upSensor is not { } up || angularRateSensorRadps.LengthSquared < LeastRateRadps * LeastRateRadps)
        {
            return;
        }

        if (_movedS == 0)
        {
            _across = Vector3D.Cross(up, Math.Abs(up.X) < 0.9 ? Vector3D.UnitX : Vector3D.UnitY).Normalized();
            _along = Vector3D.Cross(up, _across);
        }

        _movedS += intervalS;
        var weight = intervalS / Math.Min(_movedS, TimeConstantS);
        var x = Vector3D.Dot(angularRateSensorRadps, _across);
        var y = Vector3D.Dot(angularRateSensorRadps, _along);
        _xx += weight * ((x * x) - _xx);
        _xy += weight * ((x * y) - _xy);
        _yy += weight * ((y * y) - _yy);

        var deviation = Math.Abs(specificForceSensorMps2.Length - Gravity.StandardMps2);
        if (deviation < StandingWithinMps2)
        {
            _forwardRoll += weight * (angularRateSensorRadps - _forwardRoll);
        }
    }

    /// <summary>Unit vector to the athlete's left, sensor frame; null before there was motion enough to tell.</summary>
    public readonly Vector3D? LeftSensor
    {
        get
        {
            if (_movedS < NeededS)
            {
                return null;
            }

            // Main axis of a symmetric 2 x 2 matrix: half the angle of (xx - yy, 2 xy).
            var angle = Math.Atan2(2 * _xy, _xx - _yy) / 2;
            var axis = (Math.Cos(angle) * _across) + (Math.Sin(angle) * _along);
            var total = _xx + _yy;
            var main = (total / 2) + Math.Sqrt(Math.Pow((_xx - _yy) / 2, 2) + (_xy * _xy));
            return main < LeastShare * total ? null : Vector3D.Dot(axis, _forwardRoll) >= 0 ? axis : -axis;
        }
    }
}

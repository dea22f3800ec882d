using Saltograph.Imu;

namespace Saltograph.Simulator.Sensors;

/// <summary>
/// Strap and soft tissue: a share of the sensor's mass rides on a spring and damper, so that shocks ring on. Transfer
/// (1 - k) + k (2 z w s + w^2) / (s^2 + 2 z w s + w^2) on each axis of the segment, exact at rest.
/// </summary>
internal sealed class StrapResponse
{
    private readonly double _share;
    private readonly double _b0;
    private readonly double _b1;
    private readonly double _b2;
    private readonly double _a1;
    private readonly double _a2;
    private Vector3D _x1;
    private Vector3D _x2;
    private Vector3D _y1;
    private Vector3D _y2;
    private bool _settled;

    /// <summary>Ringing at <paramref name="frequencyHz"/> with the given damping ratio, by this share of the sensor.</summary>
    public StrapResponse(double frequencyHz, double damping, double share, double sampleRateHz)
    {
        _share = share;
        var k = 1 / Math.Tan(Math.PI * frequencyHz / sampleRateHz);
        var norm = 1 / ((k * k) + (2 * damping * k) + 1);
        _b0 = (1 + (2 * damping * k)) * norm;
        _b1 = 2 * norm;
        _b2 = (1 - (2 * damping * k)) * norm;
        _a1 = 2 * (1 - (k * k)) * norm;
        _a2 = ((k * k) - (2 * damping * k) + 1) * norm;
    }

    /// <summary>The specific force that the sensor feels for that of the bone under it, both in segment axes.</summary>
    public Vector3D Step(Vector3D force)
    {
        if (_share == 0)
        {
            return force;
        }

        if (!_settled)
        {
            (_x1, _x2, _y1, _y2, _settled) = (force, force, force, force, true);
        }

        var y = (_b0 * force) + (_b1 * _x1) + (_b2 * _x2) - (_a1 * _y1) - (_a2 * _y2);
        (_x2, _x1, _y2, _y1) = (_x1, force, _y1, y);
        return ((1 - _share) * force) + (_share * y);
    }
}

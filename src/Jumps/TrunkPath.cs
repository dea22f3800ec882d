using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// The trunk's way up and down around one jump, by double integration that is held by what is known of the floor
/// (<see cref="FreePath.Settle"/>). What the trunk does in the air is integrated too, since it is not the centre of mass.
/// </summary>
internal sealed class TrunkPath
{
    private const double RestOffsetMps = 0.25;
    private const double StoppedChangingMps = 0.02;

    private readonly double[] _timesS;
    private readonly double[] _velocitiesMps;
    private readonly double[] _heightsM;
    private readonly double _flightTimeS;

    private TrunkPath(double[] timesS, double[] velocitiesMps, double[] heightsM, double flightTimeS) =>
        (_timesS, _velocitiesMps, _heightsM, _flightTimeS) = (timesS, velocitiesMps, heightsM, flightTimeS);

    /// <summary>Integrates; null when too little of the motion around the flight was seen.</summary>
    public static TrunkPath? Find(SampleTrack trunk, in FootEvents events, double gravityMps2)
    {
        var force = LocalSignal.Take(
            trunk,
            events.Takeoff.PlusSeconds(-Ballistics.BeforeS),
            events.Landing.PlusSeconds(Ballistics.AfterS),
            point => point.SpecificForceEarthMps2.Z,
            cutoffHz: null);
        if (force.Count < 2 || events.Takeoff - force.TimeAt(0) < Ballistics.LeastBeforeS
            || force.TimeAt(force.Count - 1) - events.Landing < Ballistics.LeastAfterS)
        {
            return null;
        }

        // From the landing both ways: there the velocity matters most.
        var path = FreePath.Over(trunk, force, 0, force.Count, events.Landing, 0, gravityMps2);
        var (height, velocity, offset) = path.Settle(drop: null).Found is var found ? (found[0], found[1], found[2]) : default;
        var points = path.Points;
        var flightTimeS = events.FlightTimeS;
        return new(
            [.. points.Select(point => point.TimeS + flightTimeS)],
            [.. points.Select(point => point.VelocityMps + velocity + (offset * point.OffsetVelocityS))],
            [.. points.Select(point => point.PathM + height + (velocity * point.TimeS) + (offset * point.OffsetPathS2))],
            flightTimeS);
    }

    /// <summary>Highest point in the air above the place at take-off, m; 0 or more.</summary>
    public double RiseM
    {
        get
        {
            var takeoff = IndexAt(0);
            var highest = _heightsM[takeoff];
            for (var i = takeoff; i < _timesS.Length && _timesS[i] <= _flightTimeS; i++)
            {
                highest = Math.Max(highest, _heightsM[i]);
            }

            return highest - _heightsM[takeoff];
        }
    }

    /// <summary>How far the trunk sank to its lowest point in the preparation, from the highest place before it there, m; 0 or more.</summary>
    /// <param name="preparationS">How long before take-off the preparation began, s.</param>
    public double CrouchDepthM(double preparationS)
    {
        var takeoff = IndexAt(0);
        var first = IndexAt(-preparationS);
        var lowest = first;
        for (var i = first; i <= takeoff; i++)
        {
            lowest = _heightsM[i] < _heightsM[lowest] ? i : lowest;
        }

        var highest = _heightsM[lowest];
        for (var i = first; i < lowest; i++)
        {
            highest = Math.Max(highest, _heightsM[i]);
        }

        return highest - _heightsM[lowest];
    }

    /// <summary>
    /// From first contact until the velocity is no longer downward: how long, and how far down. Null when it does not stop
    /// within <paramref name="longestS"/>, or was not downward at contact.
    /// </summary>
    public (double TimeS, double DepthM)? Absorption(double longestS)
    {
        var landing = IndexAt(_flightTimeS);
        var fastestUp = double.NegativeInfinity;
        for (var i = landing + 1; i < _timesS.Length && _timesS[i] - _flightTimeS <= longestS && fastestUp < 0; i++)
        {
            fastestUp = Math.Max(fastestUp, _velocitiesMps[i]);
        }

        // She may come to rest and stay there: what the integral leaves of that is no motion.
        var stop = fastestUp >= 0 ? 0 : fastestUp - StoppedChangingMps;
        if (stop < -RestOffsetMps)
        {
            return null;
        }

        for (var i = landing + 1; i < _timesS.Length && _timesS[i] - _flightTimeS <= longestS; i++)
        {
            if (_velocitiesMps[i] < stop)
            {
                continue;
            }

            var (before, after) = (_velocitiesMps[i - 1], _velocitiesMps[i]);
            var share = after > before ? Math.Clamp((stop - before) / (after - before), 0, 1) : 1;
            var timeS = _timesS[i - 1] + (share * (_timesS[i] - _timesS[i - 1])) - _flightTimeS;
            var depthM = _heightsM[landing] - _heightsM[i];
            return timeS > 0 && depthM > 0 ? (timeS, depthM) : null;
        }

        return null;
    }

    private int IndexAt(double timeS)
    {
        var index = Array.BinarySearch(_timesS, timeS);
        return Math.Clamp(index >= 0 ? index : ~index, 0, _timesS.Length - 1);
    }
}

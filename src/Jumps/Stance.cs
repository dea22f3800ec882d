using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Tells a standing leg from a swinging one by how both shanks move.</summary>
/// <remarks>
/// On two feet both shanks do the same: their turn rates agree within a quarter. On one foot the other leg swings: its
/// shank, at the end of a moving leg, feels several g besides gravity, the standing shank about one. Both signs are
/// compared as logarithms of ratios, so that it does not matter how hard the gymnast jumps.
/// </remarks>
internal static class Stance
{
    // Earlier the feet may still be arriving, later the heel leaves the floor and the shank whips.
    private const double FromS = -0.15;
    private const double ToS = -0.05;

    // Spread of the two logarithms on two feet, measured on simulated gymnasts.
    private const double RateSpread = 0.25;
    private const double ForceSpread = 0.6;

    // Beyond this many spreads the legs do not do the same.
    private const double Different = 1.6;

    /// <summary>The foot, or both, that left the floor last; null without samples of both shanks.</summary>
    public static Foot? AtTakeoff(SampleTrack? left, SampleTrack? right, SampleTime takeoff)
    {
        var from = takeoff.PlusSeconds(FromS);
        var to = takeoff.PlusSeconds(ToS);
        if (left is null || right is null || !left.Covers(from, to) || !right.Covers(from, to))
        {
            return null;
        }

        var rate = Math.Log(RateRadps(right, from, to) / RateRadps(left, from, to));
        var force = Math.Log(ForceMps2(right, from, to) / ForceMps2(left, from, to));
        var rateSpreads = rate / RateSpread;
        var forceSpreads = force / ForceSpread;
        if (!(Math.Sqrt((rateSpreads * rateSpreads) + (forceSpreads * forceSpreads)) > Different))
        {
            return Foot.Both;
        }

        // The force tells better than the rate which leg swings: a free leg may be held still while the standing one turns.
        return force + (rate / 2) > 0 ? Foot.Left : Foot.Right;
    }

    /// <summary>Root mean square of the turn rate, rad/s.</summary>
    public static double RateRadps(SampleTrack shank, SampleTime from, SampleTime to) =>
        Math.Sqrt(LocalSignal.Take(shank, from, to, point => point.AngularRateEarthRadps.LengthSquared, null).Mean(from, to));

    /// <summary>Root mean square of the specific force without gravity, m/s2: of the acceleration.</summary>
    public static double ForceMps2(SampleTrack shank, SampleTime from, SampleTime to)
    {
        var gravity = new Vector3D(0, 0, shank.GravityReferenceMps2);
        return Math.Sqrt(LocalSignal
            .Take(shank, from, to, point => (point.SpecificForceEarthMps2 - gravity).LengthSquared, null)
            .Mean(from, to));
    }
}

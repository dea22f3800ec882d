using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// Vertical specific force at the centre of mass, put together from the trunk and the shanks: what the floor gives, per
/// kilogram; zero in the air whatever the legs do.
/// </summary>
/// <remarks>
/// <para>
/// The trunk is not the centre of mass: legs that are thrown up push it down by several m/s2 in the air, and it stops
/// rising before the feet leave the floor. Each leg has 0.2088 of the mass, and with a straight knee the acceleration of
/// its centre lies between those of the hip and of the shank sensor, at 0.382 of the way: masses and centres of thigh,
/// shank and foot after P. de Leva 1996, J Biomech 29:1223-1230, women (second hand), sensor 8 cm above the ankle. So each
/// shank counts 0.0797 and the trunk, with head and arms, the rest.
/// </para>
/// <para>A shank that is missing is taken to move like the trunk.</para>
/// </remarks>
internal static class BodyForce
{
    private const double LegMassShare = 0.2088;
    private const double LegCentreShare = 0.3817;
    /// <summary>Weight of a shank's reading while its leg is straight.</summary>
    public const double ShankWeight = LegMassShare * LegCentreShare;

    /// <summary>Older readings than this belong to a gap, s.</summary>
    public const double FreshWithinS = 0.03;

    /// <summary>Combines one trunk reading with the newest readings of the shanks, m/s2.</summary>
    public static double UpMps2(in SampleTime time, double trunkUpMps2, SampleTrack? left, SampleTrack? right) =>
        trunkUpMps2 + Leg(time, trunkUpMps2, left) + Leg(time, trunkUpMps2, right);

    private static double Leg(in SampleTime time, double trunkUpMps2, SampleTrack? shank)
    {
        if (shank is null || shank.IsEmpty)
        {
            return 0;
        }

        ref readonly var newest = ref shank[shank.End - 1];
        return time - newest.Time > FreshWithinS ? 0 : ShankWeight * (newest.SpecificForceEarthMps2.Z - trunkUpMps2);
    }
}

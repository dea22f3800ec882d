namespace Saltograph.Imu;

/// <summary>Gravity in the numbers that the programme uses.</summary>
public static class Gravity
{
    /// <summary>Standard gravity, m/s2, exact by definition (3rd CGPM, 1901); the UCUM unit <c>[g]</c>.</summary>
    public const double StandardMps2 = 9.80665;

    /// <summary>
    /// Normal gravity on the WGS 84 ellipsoid (Somigliana's formula, constants of NIMA TR8350.2, 2000), m/s2. It falls by
    /// 3.1e-6 m/s2 per metre of height, which is left out.
    /// </summary>
    /// <param name="latitudeRad">Geodetic latitude, rad, -pi/2 to pi/2.</param>
    public static double Wgs84NormalMps2(double latitudeRad)
    {
        const double AtEquatorMps2 = 9.7803253359;
        const double SomiglianaConstant = 0.00193185265241;
        const double FirstEccentricitySquared = 0.00669437999014;
        if (!(Math.Abs(latitudeRad) <= Math.PI / 2))
        {
            throw new ArgumentOutOfRangeException(
                nameof(latitudeRad), FormattableString.Invariant($"Latitude is {latitudeRad} rad; allowed: -pi/2 to pi/2."));
        }

        var sine = Math.Sin(latitudeRad);
        return AtEquatorMps2 * (1 + (SomiglianaConstant * sine * sine)) / Math.Sqrt(1 - (FirstEccentricitySquared * sine * sine));
    }
}

/// <summary>Angles at the edge: radians inside, degrees outside.</summary>
public static class Angles
{
    /// <summary>Degrees in one radian.</summary>
    public const double DegPerRad = 180 / Math.PI;

    /// <summary>Radians in one degree.</summary>
    public const double RadPerDeg = Math.PI / 180;

    /// <summary>The same direction in (-pi, pi].</summary>
    /// <param name="angleRad">Any finite angle, rad.</param>
    public static double WrapRad(double angleRad)
    {
        var wrapped = Math.IEEERemainder(angleRad, 2 * Math.PI);
        return wrapped <= -Math.PI ? wrapped + (2 * Math.PI) : wrapped;
    }
}

namespace Saltograph.Imu;

/// <summary>Gravity in the numbers that the programme uses.</summary>
public static class Gravity
{
    /// <summary>Standard gravity, m/s2, exact by definition (3rd CGPM, 1901); the UCUM unit <c>[g]</c>.</summary>
    public const double StandardMps2 = 9.80665;
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

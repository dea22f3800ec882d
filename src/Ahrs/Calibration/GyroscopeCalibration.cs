using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>A turn whose true angle is known, for example a whole turn along a straight edge.</summary>
/// <param name="MeasuredRad">Integral of the gyroscope readings less their bias, rad, sensor axes.</param>
/// <param name="TrueRad">True rotation: axis times angle, rad, sensor axes.</param>
public readonly record struct KnownTurn(Vector3D MeasuredRad, Vector3D TrueRad)
{
    /// <summary>Integrates the readings of a turn about one fixed axis.</summary>
    /// <param name="angularRatesRadps">Gyroscope readings of the turn, rad/s.</param>
    /// <param name="biasRadps">Their bias, rad/s.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="trueRad">True rotation: axis times angle, rad.</param>
    public static KnownTurn Of(ReadOnlySpan<Vector3D> angularRatesRadps, Vector3D biasRadps, double sampleRateHz, Vector3D trueRad)
    {
        Allowed.Rate(sampleRateHz);
        var sum = Vector3D.Zero;
        foreach (ref readonly var rate in angularRatesRadps)
        {
            sum += rate - biasRadps;
        }

        return new(sum / sampleRateHz, trueRad);
    }
}

/// <summary>Bias and scale of a gyroscope.</summary>
public static class GyroscopeCalibration
{
    /// <summary>Bias alone: the mean reading of the longest still stretch. Valid as long as the temperature stays.</summary>
    /// <param name="stillPhases">Still stretches, see <see cref="StillPhases"/>.</param>
    public static CalibrationResult FromRest(IReadOnlyList<StillPhase> stillPhases)
    {
        ArgumentNullException.ThrowIfNull(stillPhases);
        return stillPhases.Count == 0
            ? CalibrationResult.Refused("no still stretch; needed: at least one")
            : new(new(stillPhases.MaxBy(p => p.End - p.Start).MeanAngularRateRadps, Matrix3.Identity), null, string.Empty);
    }

    /// <summary>
    /// Scale per axis from turns about each axis (after F. Ferraris, U. Grimaldi, M. Parvis, Sensors and Materials
    /// 7:311-330, 1995, without their axis angles, which 1 deg of placement does not resolve).
    /// </summary>
    /// <param name="biasRadps">Gyroscope bias, rad/s.</param>
    /// <param name="turns">Known turns; each axis needs at least 1 rad in all.</param>
    public static CalibrationResult FromTurns(Vector3D biasRadps, IReadOnlyList<KnownTurn> turns)
    {
        ArgumentNullException.ThrowIfNull(turns);
        var x = Scale(turns, t => t.X);
        var y = Scale(turns, t => t.Y);
        var z = Scale(turns, t => t.Z);
        if (x is null || y is null || z is null)
        {
            return CalibrationResult.Refused(
                $"{turns.Count} turns leave the scale of {(x is null ? "x" : y is null ? "y" : "z")} open; needed: 1 rad or more about each axis");
        }

        var correction = Matrix3.Diagonal(new(1 / x.Value, 1 / y.Value, 1 / z.Value));
        var rest = turns.Sum(t => ((correction * t.MeasuredRad) - t.TrueRad).LengthSquared);
        return new(new(biasRadps, correction), Math.Sqrt(rest / turns.Count), string.Empty);
    }

    /// <summary>Least squares of measured = scale x true over the turns that turn this axis.</summary>
    private static double? Scale(IReadOnlyList<KnownTurn> turns, Func<Vector3D, double> axis)
    {
        var square = turns.Sum(t => axis(t.TrueRad) * axis(t.TrueRad));
        return square < 1 ? null : turns.Sum(t => axis(t.TrueRad) * axis(t.MeasuredRad)) / square;
    }
}

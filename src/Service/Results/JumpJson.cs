using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Wire;

namespace Saltograph.Service.Results;

/// <summary>A jump record as a JSON object: every key always there, null where not measured.</summary>
internal static class JumpJson
{
    // Below what any sensor resolves, and short enough to read: microseconds, micrometres, millionths of a degree.
    private const int Digits = 6;

    /// <summary>Writes one record.</summary>
    /// <param name="json">Where to.</param>
    /// <param name="athlete">Whose jump.</param>
    /// <param name="jump">The record.</param>
    /// <param name="onHallClock">Whether its times are the hall's, so that they can also be given as RFC 3339.</param>
    public static void Write(Utf8JsonWriter json, AthleteId athlete, JumpRecord jump, bool onHallClock)
    {
        json.WriteStartObject();
        json.WriteString("athlete", athlete.Value);
        json.WriteNumber("number", jump.Number);
        Time(json, "takeoff", jump.TakeoffTime, onHallClock);
        Time(json, "peak", jump.PeakTime, onHallClock);
        Time(json, "landing", jump.LandingTime, onHallClock);
        json.WriteString("form", Word(jump.Form));
        json.WriteString("takeoffFoot", Word(jump.TakeoffFoot));
        json.WriteString("landingFoot", Word(jump.LandingFoot));
        Number(json, "secondFootLagS", jump.SecondFootLagS);
        Number(json, "flightTimeS", jump.FlightTimeS);
        Number(json, "heightM", jump.HeightM);
        Number(json, "heightFlightTimeM", jump.HeightFlightTimeM);
        Number(json, "heightTakeoffVelocityM", jump.HeightTakeoffVelocityM);
        Number(json, "trunkRiseM", jump.TrunkRiseM);
        Number(json, "takeoffVelocityMps", jump.TakeoffVelocityMps);
        Number(json, "pushOffTimeS", jump.PushOffTimeS);
        Number(json, "crouchDepthM", jump.CrouchDepthM);
        Number(json, "turnPreparationDeg", jump.TurnPreparationDeg);
        Number(json, "turnFlightDeg", jump.TurnFlightDeg);
        Number(json, "turnRecoveryDeg", jump.TurnRecoveryDeg);
        Number(json, "turnRateTakeoffDps", jump.TurnRateTakeoffDps);
        Number(json, "turnRateTopDps", jump.TurnRateTopDps);
        Number(json, "turnRatePeakDps", jump.TurnRatePeakDps);
        Number(json, "inertiaGrowth", jump.InertiaGrowth);
        Number(json, "splitAngleDeg", jump.SplitAngleDeg);
        Number(json, "splitAngleAtPeakDeg", jump.SplitAngleAtPeakDeg);
        Number(json, "splitHoldFraction", jump.SplitHoldFraction);
        Shock(json, jump.LandingShockG);
        Number(json, "shockAttenuationPercent", jump.ShockAttenuationPercent);
        Number(json, "shockRiseTimeS", jump.ShockRiseTimeS);
        Number(json, "absorptionTimeS", jump.AbsorptionTimeS);
        Number(json, "absorptionDepthM", jump.AbsorptionDepthM);
        Series(json, jump.Series);
        Uncertainty(json, jump.Uncertainty);
        json.WriteString("grade", jump.Grade.ToString());
        json.WriteStartArray("quality");
        foreach (var word in jump.Quality)
        {
            json.WriteStringValue(word);
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    /// <summary>A foot or a form as the contract spells it; null when not known.</summary>
    public static string? Word<T>(T? value)
        where T : struct, Enum => value?.ToString().ToLowerInvariant();

    /// <summary>A number, rounded for the edge; null when not measured.</summary>
    public static void Number(Utf8JsonWriter json, string key, double? value)
    {
        if (value is { } number && double.IsFinite(number))
        {
            json.WriteNumber(key, Math.Round(number, Digits));
        }
        else
        {
            json.WriteNull(key);
        }
    }

    private static void Time(Utf8JsonWriter json, string key, SampleTime time, bool onHallClock)
    {
        if (onHallClock)
        {
            json.WriteString(key, Rfc3339.Text(time));
        }

        json.WriteNumber(key + "S", time.Microseconds / 1_000_000m);
    }

    private static void Shock(Utf8JsonWriter json, LandingShock shock)
    {
        json.WriteStartObject("landingShockG");
        Number(json, "trunk", shock.TrunkG);
        Number(json, "ankleLeft", shock.AnkleLeftG);
        Number(json, "ankleRight", shock.AnkleRightG);
        json.WriteEndObject();
    }

    private static void Uncertainty(Utf8JsonWriter json, JumpUncertainty uncertainty)
    {
        json.WriteStartObject("uncertainty");
        Number(json, "takeoffS", uncertainty.TakeoffS);
        Number(json, "peakS", uncertainty.PeakS);
        Number(json, "landingS", uncertainty.LandingS);
        Number(json, "secondFootLagS", uncertainty.SecondFootLagS);
        Number(json, "flightTimeS", uncertainty.FlightTimeS);
        Number(json, "heightM", uncertainty.HeightM);
        Number(json, "heightFlightTimeM", uncertainty.HeightFlightTimeM);
        Number(json, "heightTakeoffVelocityM", uncertainty.HeightTakeoffVelocityM);
        Number(json, "trunkRiseM", uncertainty.TrunkRiseM);
        Number(json, "takeoffVelocityMps", uncertainty.TakeoffVelocityMps);
        Number(json, "pushOffTimeS", uncertainty.PushOffTimeS);
        Number(json, "crouchDepthM", uncertainty.CrouchDepthM);
        Number(json, "turnPreparationDeg", uncertainty.TurnPreparationDeg);
        Number(json, "turnFlightDeg", uncertainty.TurnFlightDeg);
        Number(json, "turnRecoveryDeg", uncertainty.TurnRecoveryDeg);
        Number(json, "turnRateTakeoffDps", uncertainty.TurnRateTakeoffDps);
        Number(json, "turnRateTopDps", uncertainty.TurnRateTopDps);
        Number(json, "turnRatePeakDps", uncertainty.TurnRatePeakDps);
        Number(json, "inertiaGrowth", uncertainty.InertiaGrowth);
        Number(json, "splitAngleDeg", uncertainty.SplitAngleDeg);
        Number(json, "splitAngleAtPeakDeg", uncertainty.SplitAngleAtPeakDeg);
        Shock(json, uncertainty.LandingShockG);
        Number(json, "shockAttenuationPercent", uncertainty.ShockAttenuationPercent);
        Number(json, "shockRiseTimeS", uncertainty.ShockRiseTimeS);
        Number(json, "absorptionTimeS", uncertainty.AbsorptionTimeS);
        Number(json, "absorptionDepthM", uncertainty.AbsorptionDepthM);
        json.WriteEndObject();
    }

    private static void Series(Utf8JsonWriter json, SeriesPlace? series)
    {
        if (series is null)
        {
            json.WriteNull("series");
            return;
        }

        json.WriteStartObject("series");
        json.WriteNumber("id", series.Id);
        json.WriteNumber("position", series.Position);
        Number(json, "contactTimeS", series.ContactTimeS);
        json.WriteEndObject();
    }
}

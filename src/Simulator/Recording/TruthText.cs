using System.Text;
using System.Text.Json;
using Saltograph.Simulator.Session;
using Saltograph.Simulator.Truth;

namespace Saltograph.Simulator.Recording;

/// <summary>
/// Writes the truth as JSON lines: jumps with every key of a jump record, null where truth has nothing to say (estimates,
/// uncertainty, grade), and some more that only a simulator knows; distractors with the key <c>distractor</c>.
/// </summary>
public static class TruthText
{
    /// <summary>Writes one athlete's truth, first the jumps, then the distractors; LF, UTF-8 text.</summary>
    public static void Write(TextWriter text, SimulatedAthlete athlete)
    {
        ArgumentNullException.ThrowIfNull(athlete);
        WriteJumps(text, athlete.Jumps);
        WriteDistractors(text, athlete.Distractors);
    }

    /// <summary>Writes jumps only: a file that can be read wherever jump records can.</summary>
    public static void WriteJumps(TextWriter text, IEnumerable<TruthJump> jumps)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(jumps);
        foreach (var jump in jumps)
        {
            Line(text, json => Jump(json, jump));
        }
    }

    /// <summary>Writes stretches in which nothing may be counted: <c>athlete</c>, <c>distractor</c>, <c>startS</c>, <c>endS</c>, <c>longestFlightS</c>.</summary>
    public static void WriteDistractors(TextWriter text, IEnumerable<TruthDistractor> distractors)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(distractors);
        foreach (var distractor in distractors)
        {
            Line(text, json =>
            {
                json.WriteString("athlete", distractor.Athlete.Value);
                json.WriteString("distractor", JsonNamingPolicy.KebabCaseLower.ConvertName(distractor.Kind.ToString()));
                Number(json, "startS", distractor.StartS);
                Number(json, "endS", distractor.EndS);
                Number(json, "longestFlightS", distractor.LongestFlightS);
            });
        }
    }

    private static void Line(TextWriter text, Action<Utf8JsonWriter> content)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream))
        {
            json.WriteStartObject();
            content(json);
            json.WriteEndObject();
        }

        text.Write(Encoding.UTF8.GetString(stream.GetBuffer(), 0, (int)stream.Length));
        text.Write('\n');
    }

    private static void Jump(Utf8JsonWriter json, TruthJump jump)
    {
        json.WriteString("athlete", jump.Athlete.Value);
        json.WriteNumber("number", jump.Number);
        Number(json, "takeoffS", jump.TakeoffS);
        Number(json, "peakS", jump.PeakS);
        Number(json, "landingS", jump.LandingS);
        json.WriteString("form", JsonNamingPolicy.CamelCase.ConvertName(jump.Form.ToString()));
        json.WriteString("takeoffFoot", jump.TakeoffFoot);
        json.WriteString("landingFoot", jump.LandingFoot);
        Number(json, "secondFootLagS", jump.SecondFootLagS);
        Number(json, "flightTimeS", jump.FlightTimeS);
        Number(json, "heightM", jump.HeightM);
        json.WriteNull("heightFlightTimeM");
        json.WriteNull("heightTakeoffVelocityM");
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
        json.WriteStartObject("landingShockG");
        Number(json, "trunk", jump.ShockTrunkG);
        Number(json, "ankleLeft", jump.ShockAnkleLeftG);
        Number(json, "ankleRight", jump.ShockAnkleRightG);
        json.WriteEndObject();
        Number(json, "shockAttenuationPercent", AttenuationPercent(jump));
        Number(json, "shockRiseTimeS", jump.ShockRiseTimeS);
        Number(json, "absorptionTimeS", jump.AbsorptionTimeS);
        Number(json, "absorptionDepthM", jump.AbsorptionDepthM);
        if (jump.SeriesId is { } series)
        {
            json.WriteStartObject("series");
            json.WriteNumber("id", series);
            json.WriteNumber("position", jump.SeriesPosition ?? 1);
            Number(json, "contactTimeS", jump.ContactTimeS);
            json.WriteEndObject();
        }
        else
        {
            json.WriteNull("series");
        }

        json.WriteNull("uncertainty");
        json.WriteNull("grade");
        json.WriteStartArray("quality");
        json.WriteEndArray();
        Number(json, "landingDropM", jump.LandingDropM);
        Number(json, "legAzimuthOpeningDeg", jump.LegAzimuthOpeningDeg);
        Number(json, "kneeBendAtSplitDeg", jump.KneeBendAtSplitDeg);
    }

    // Of both feet at once neither is the one of first contact.
    private static double? AttenuationPercent(TruthJump jump)
    {
        var ankleG = jump.LandingFoot switch
        {
            "left" => jump.ShockAnkleLeftG,
            "right" => jump.ShockAnkleRightG,
            _ => null,
        };
        return 100 * (1 - (jump.ShockTrunkG / ankleG));
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number)
        {
            json.WriteNumber(name, Math.Round(number, 6));
        }
        else
        {
            json.WriteNull(name);
        }
    }
}

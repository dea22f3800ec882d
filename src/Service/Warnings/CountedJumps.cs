using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Load;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>Stored jumps as load and warnings want them. Live ones take the same way, so that a restart judges the same numbers.</summary>
internal static class CountedJumps
{
    /// <summary>The jump of a row with its record.</summary>
    /// <remarks>Which accelerometer was at its rail stands in the record's quality; a gyroscope at its rail clips no shock.</remarks>
    public static CountedJump Of(JumpRow row)
    {
        var (absorptionTimeS, quality) = Recorded(row.Record);
        return new()
        {
            Id = row.Id,
            Athlete = new(row.Athlete),
            LandingTime = new(row.LandingUs),
            Form = Word<ElementForm>(row.Form),
            TakeoffLeg = Word<Leg>(row.TakeoffFoot),
            LandingLeg = Word<Leg>(row.LandingFoot),
            Apparatus = row.Apparatus,
            HeightM = row.HeightM,
            FlightTimeS = row.FlightTimeS,
            ContactTimeS = row.ContactTimeS,
            TurnFlightDeg = row.TurnFlightDeg,
            TrunkShock = Shock(row.ShockTrunkG, quality.Contains(QualityWords.SaturatedTrunk)),
            AnkleLeftShock = Shock(row.ShockAnkleLeftG, quality.Contains(QualityWords.SaturatedAnkleLeft)),
            AnkleRightShock = Shock(row.ShockAnkleRightG, quality.Contains(QualityWords.SaturatedAnkleRight)),
            AbsorptionTimeS = absorptionTimeS,
        };
    }

    private static SiteShock? Shock(double? shockG, bool saturated) => shockG is { } value ? new(value, saturated) : null;

    private static T? Word<T>(string? word)
        where T : struct, Enum => Enum.TryParse<T>(word, ignoreCase: true, out var value) ? value : null;

    private static (double? AbsorptionTimeS, HashSet<string> Quality) Recorded(string? record)
    {
        var quality = new HashSet<string>(StringComparer.Ordinal);
        if (record is null)
        {
            return (null, quality);
        }

        using var json = JsonDocument.Parse(record);
        if (json.RootElement.TryGetProperty("quality", out var words) && words.ValueKind == JsonValueKind.Array)
        {
            quality.UnionWith(words.EnumerateArray().Select(word => word.GetString() ?? string.Empty));
        }

        return (
            json.RootElement.TryGetProperty("absorptionTimeS", out var found) && found.ValueKind == JsonValueKind.Number ? found.GetDouble() : null,
            quality);
    }
}

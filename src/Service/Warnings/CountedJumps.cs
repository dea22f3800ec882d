using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>Stored jumps as load and warnings want them. Live ones take the same way, so that a restart judges the same numbers.</summary>
internal static class CountedJumps
{
    /// <summary>The jump of a row with its record.</summary>
    /// <remarks>
    /// A record says that a sensor was at its rail, not which: it is taken for the ankles that landed, or for the trunk of an athlete without ankle sensors, so that a clipped landing is at least hard.
    /// A gyroscope at its rail during the jump is taken for it, too.
    /// </remarks>
    public static CountedJump Of(JumpRow row)
    {
        var leg = Word<Leg>(row.LandingFoot);
        return new()
        {
            Id = row.Id,
            Athlete = new(row.Athlete),
            LandingTime = new(row.LandingUs),
            Form = Word<ElementForm>(row.Form),
            TakeoffLeg = Word<Leg>(row.TakeoffFoot),
            LandingLeg = leg,
            HeightM = row.HeightM,
            FlightTimeS = row.FlightTimeS,
            ContactTimeS = row.ContactTimeS,
            TurnFlightDeg = row.TurnFlightDeg,
            TrunkShock = Shock(row.ShockTrunkG, row.Saturated && row.ShockAnkleLeftG is null && row.ShockAnkleRightG is null),
            AnkleLeftShock = Shock(row.ShockAnkleLeftG, row.Saturated && leg != Leg.Right),
            AnkleRightShock = Shock(row.ShockAnkleRightG, row.Saturated && leg != Leg.Left),
            AbsorptionTimeS = Absorption(row.Record),
        };
    }

    private static SiteShock? Shock(double? shockG, bool saturated) => shockG is { } value ? new(value, saturated) : null;

    private static T? Word<T>(string? word)
        where T : struct, Enum => Enum.TryParse<T>(word, ignoreCase: true, out var value) ? value : null;

    private static double? Absorption(string? record)
    {
        if (record is null)
        {
            return null;
        }

        using var json = JsonDocument.Parse(record);
        return json.RootElement.TryGetProperty("absorptionTimeS", out var found) && found.ValueKind == JsonValueKind.Number ? found.GetDouble() : null;
    }
}

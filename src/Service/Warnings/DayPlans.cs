using System.Text.Json;
using System.Text.Json.Serialization;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Facts;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>Plans and limits of the store as limits of a day.</summary>
internal static class DayPlans
{
    private const string Allowed = "an object with jumps, leftLandings, rightLandings, heightM and shockG, each a number or absent";

    private static readonly JsonSerializerOptions Strict = new(JsonSerializerDefaults.Web)
    {
        NumberHandling = JsonNumberHandling.Strict,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    };

    /// <summary>Reads the JSON of a plan: <c>jumps</c>, <c>leftLandings</c>, <c>rightLandings</c>, <c>heightM</c>, <c>shockG</c>, each a number or absent.</summary>
    /// <param name="row">The plan.</param>
    /// <param name="days">The hall's days.</param>
    /// <param name="limits">The limits; null when there is a fault.</param>
    /// <returns>What is wrong, or null.</returns>
    public static Fault? Read(PlanRow row, HallDays days, out DayLimits? limits)
    {
        limits = null;
        try
        {
            var (from, to) = days.Bounds(row.Day);
            if (JsonSerializer.Deserialize<Entered>(row.Limits, Strict) is not { } entered)
            {
                return new("limits", "null", Allowed);
            }

            var found = new DayLimits(new(row.Athlete), row.Kind == PlanRow.ReturnToPlayKind ? LimitSource.ReturnToPlay : LimitSource.Plan, from, to)
            {
                Jumps = entered.Jumps,
                LeftLandings = entered.LeftLandings,
                RightLandings = entered.RightLandings,
                HeightM = entered.HeightM,
                ShockG = entered.ShockG,
            };
            if (found.Faults() is [var fault, ..])
            {
                return fault;
            }

            limits = found;
            return null;
        }
        catch (Exception problem) when (problem is JsonException or FormatException)
        {
            return new("limits", problem.Message.Split(" Path:", 2)[0].TrimEnd('.'), Allowed);
        }
        catch (ArgumentException problem)
        {
            return new("athlete", problem.Message, "a pseudonym of the roster");
        }
    }

    private sealed record Entered(int? Jumps = null, int? LeftLandings = null, int? RightLandings = null, double? HeightM = null, double? ShockG = null);
}

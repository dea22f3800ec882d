using System.Globalization;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Tests;

/// <summary>Made-up rows.</summary>
internal static class MadeUp
{
    public const long MorningUs = 1_800_000_000_000_000; // 2027-01-15T08:00:00Z

    public static JumpRow Jump(string athlete, int number, long landingUs = MorningUs, string day = "2027-01-15") => new()
    {
        Id = string.Create(CultureInfo.InvariantCulture, $"{athlete}.{number}"),
        Athlete = athlete,
        Day = day,
        Number = number,
        TakeoffUs = landingUs - 400_000,
        LandingUs = landingUs,
        Form = number % 3 == 0 ? null : "leap",
        TakeoffFoot = number % 2 == 0 ? "left" : "right",
        LandingFoot = number % 5 == 0 ? null : "left",
        FlightTimeS = 0.400001,
        HeightM = 0.196133,
        TurnFlightDeg = -181.5,
        ShockTrunkG = number % 4 == 0 ? null : 5.25,
        ShockAnkleLeftG = 12.125,
        Saturated = number % 7 == 0,
        Grade = "B",
        Record = string.Create(CultureInfo.InvariantCulture, $"{{\"athlete\":\"{athlete}\",\"number\":{number}}}"),
    };

    /// <summary>A randomised week of training, the same for the same seed.</summary>
    public static IEnumerable<JumpRow> Week(int seed, int athletes, int jumpsPerDay)
    {
        // The numbers need only be different, and the same every time.
        var random = new Random(seed);
        string?[] forms = ["leap", "hop", "jump", "assemble", "sissonne", null];
        string?[] feet = ["left", "right", "both", null];
        for (var athlete = 1; athlete <= athletes; athlete++)
        {
            for (var day = 0; day < 7; day++)
            {
                var count = random.Next(jumpsPerDay + 1);
                var atUs = MorningUs + (day * 86_400_000_000L);
                for (var jump = 0; jump < count; jump++)
                {
                    atUs += random.NextInt64(500_000, 90_000_000);
                    var flightTimeS = Math.Round(0.2 + (random.NextDouble() * 0.4), 6);
                    yield return Jump($"athlete-{athlete}", (day * 1000) + jump, atUs, string.Create(CultureInfo.InvariantCulture, $"2027-01-{15 + day}")) with
                    {
                        Form = forms[random.Next(forms.Length)],
                        TakeoffFoot = feet[random.Next(feet.Length)],
                        LandingFoot = feet[random.Next(feet.Length)],
                        FlightTimeS = flightTimeS,
                        HeightM = Math.Round(9.80665 * flightTimeS * flightTimeS / 8, 6),
                        TurnFlightDeg = random.Next(4) == 0 ? null : Math.Round(random.NextDouble() * 400, 6),
                        ShockTrunkG = random.Next(5) == 0 ? null : Math.Round(2 + (random.NextDouble() * 6), 6),
                    };
                }
            }
        }
    }
}

using Saltograph.Imu;

namespace Saltograph.Load.Tests;

/// <summary>Invented jumps and days.</summary>
internal static class Made
{
    public static readonly AthleteId Athlete = new("a-01");

    public static readonly DateOnly FirstDay = new(2026, 3, 2);

    public static readonly SampleTime Start = new(1_772_445_600_000_000);

    public static CountedJump Jump(int number, double? shockG = 10, double atS = double.NaN, Leg? leg = Leg.Left, bool saturated = false) => new()
    {
        Id = $"jump-{number}",
        Athlete = Athlete,
        LandingTime = Start.PlusSeconds(double.IsNaN(atS) ? number * 20 : atS),
        Form = ElementForm.Leap,
        TakeoffLeg = leg == Leg.Left ? Leg.Right : Leg.Left,
        LandingLeg = leg,
        HeightM = 0.30,
        AnkleLeftShock = shockG is { } left && leg != Leg.Right ? new(left, saturated) : null,
        AnkleRightShock = shockG is { } right && leg == Leg.Right ? new(right, saturated) : null,
        AbsorptionTimeS = 0.2,
    };

    /// <summary>A spread history: 9, 9.5, 10, 10.5, 11 g over and over.</summary>
    public static double UsualShockG(int number) => 9 + (0.5 * (number % 5));

    /// <summary>Days with data, from the first on.</summary>
    public static DayEntry[] Days(IEnumerable<double> loads) => [.. loads.Select((load, i) => DayEntry.Data(FirstDay.AddDays(i), load))];
}

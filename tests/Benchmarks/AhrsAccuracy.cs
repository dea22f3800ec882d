using System.Globalization;
using Saltograph.Ahrs;
using Saltograph.Ahrs.Tests;
using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Benchmarks;

/// <summary>Prints the accuracy tables of the orientation library from the reference data.</summary>
internal static class AhrsAccuracy
{
    private static readonly string[] Sequences = ["a_smooth_100hz", "b_flight_500hz", "b2_flight_lever_500hz"];

    private sealed record Way(string Name, bool Magnetic, Func<Recording, IReadOnlyList<Rotation>> Run);

    public static int Run()
    {
        if ((Repository.SharedMissing("golden", "ahrs") ?? Repository.SharedMissing("datasets", "broad")) is { } missing)
        {
            Console.Error.WriteLine(missing);
            return 1;
        }

        var recordings = Sequences.Select(Recording.Golden).Concat(Recording.BroadNames().Select(Recording.Broad)).ToArray();
        Way[] ways =
        [
            Online("VQF 6D", false, r => new VqfFilter(new(), r)),
            Online("VQF 9D", true, r => new VqfFilter(new(), r)),
            new("VQF 6D offline", false, r => VqfOffline.Run(new(), r.RateHz, r.AngularRate, r.SpecificForce).EarthFromSensor),
            new("VQF 9D offline", true, r => VqfOffline.Run(new(), r.RateHz, r.AngularRate, r.SpecificForce, r.MagneticField).EarthFromSensor),
            new("VQF 9D offline, either", true, r => VqfOffline.Run(
                new() { OfflineEitherDirectionDisturbed = true }, r.RateHz, r.AngularRate, r.SpecificForce, r.MagneticField).EarthFromSensor),
            Online("athlete 6D", false, r => new AthleteFilter(new(), r)),
            Online("athlete 9D", true, r => new AthleteFilter(new(), r)),
            new("athlete 6D smoothed", false, r => AthleteSmoother.Run(new(), r.RateHz, r.AngularRate, r.SpecificForce).EarthFromSensor),
            new("athlete 9D smoothed", true, r => AthleteSmoother.Run(new(), r.RateHz, r.AngularRate, r.SpecificForce, r.MagneticField).EarthFromSensor),
            Online("Mahony 6D", false, r => new MahonyFilter(new(), r)),
            Online("Mahony 9D", true, r => new MahonyFilter(new(), r)),
            Online("Madgwick 6D", false, r => new MadgwickFilter(new(), r)),
            Online("Madgwick 9D", true, r => new MadgwickFilter(new(), r)),
        ];
        Print("Defaults. RMS degrees, total / heading / inclination", ways, recordings);
        Print("Trade-off: travelling speed of the athlete filter", [.. new[] { 1.5, 3, 4.5, 6, 9, 12 }.Select(v => Online(
            string.Create(CultureInfo.InvariantCulture, $"{v} m/s"), false, r => new AthleteFilter(new() { TravelSpeedMps = v }, r)))], recordings);
        Print("Trade-off: speed in place of the athlete filter", [.. new[] { 0.4, 0.5, 0.65, 0.8, 1.0 }.Select(v => Online(
            string.Create(CultureInfo.InvariantCulture, $"{v} m/s"), false, r => new AthleteFilter(new() { InPlaceSpeedMps = v }, r)))], recordings);
        return 0;
    }

    private static Way Online(string name, bool magnetic, Func<double, OrientationFilter> create) => new(name, magnetic, r =>
    {
        var filter = create(r.RateHz);
        var result = new Rotation[r.Length];
        for (var i = 0; i < r.Length; i++)
        {
            _ = magnetic ? filter.Update(r.AngularRate[i], r.SpecificForce[i], r.MagneticField[i]) : filter.Update(r.AngularRate[i], r.SpecificForce[i]);
            result[i] = filter.EarthFromSensor;
        }

        return result;
    });

    private static void Print(string title, Way[] ways, Recording[] recordings)
    {
        Console.WriteLine($"{title}");
        Console.WriteLine();
        Console.WriteLine("| filter | a | b | b2 | BROAD 20 | chosen on (10) | confirmed on (10) |");
        Console.WriteLine("|---|---|---|---|---|---|---|");
        foreach (var way in ways)
        {
            var errors = recordings.Select(r => OrientationErrors.Of(r, way.Run(r), !way.Magnetic)).ToArray();
            var broad = errors[Sequences.Length..];
            Console.WriteLine($"| {way.Name} | {Text(errors[0])} | {Text(errors[1])} | {Text(errors[2])} | {Text(Mean(broad))}"
                + $" | {Text(Mean([.. broad.Where((_, i) => i % 2 == 0)]))} | {Text(Mean([.. broad.Where((_, i) => i % 2 == 1)]))} |");
        }

        Console.WriteLine();
    }

    private static OrientationErrors Mean(OrientationErrors[] errors) => new(
        errors.Average(e => e.TotalDeg), errors.Average(e => e.HeadingDeg), errors.Average(e => e.InclinationDeg));

    private static string Text(OrientationErrors e) =>
        string.Create(CultureInfo.InvariantCulture, $"{e.TotalDeg:F2} / {e.HeadingDeg:F2} / {e.InclinationDeg:F2}");
}

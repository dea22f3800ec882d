using System.Globalization;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline.Motion;
using Saltograph.Testing;

namespace Saltograph.Pipeline.Tests.Motion;

/// <summary>Recordings of real people: counts and flight times known from force plates, motion capture or by eye.</summary>
public sealed class RecordedJumpsTests
{
    // Options that decide whether something is a jump; the others only measure it.
    private static readonly string[] DetectionOptions =
    [
        nameof(JumpOptions.MinimumFlightTimeS),
        nameof(JumpOptions.LongestFlightTimeS),
        nameof(JumpOptions.MinimumVelocityFallMps),
        nameof(JumpOptions.MinimumFallShareOfG),
        nameof(JumpOptions.LargestFallShareOfG),
        nameof(JumpOptions.MinimumRiseShare),
        nameof(JumpOptions.ReversalMps),
        nameof(JumpOptions.LandingWithinS),
    ];

    [Fact]
    public void Every_recording_gives_exactly_its_number_of_jumps()
    {
        Assert.SkipWhen(Recordings.Missing is not null, Recordings.Missing ?? string.Empty);
        Assert.Multiple([.. Recordings.All.Select(recording => (Action)(() =>
            Assert.Equal((recording.Name, recording.Jumps), (recording.Name, recording.Analyse(new()).Jumps.Count))))]);
    }

    [Fact]
    public void No_count_changes_when_a_detection_threshold_moves_by_a_fifth()
    {
        Assert.SkipWhen(Recordings.Missing is not null, Recordings.Missing ?? string.Empty);
        var table = new List<string>();
        foreach (var name in DetectionOptions)
        {
            var property = typeof(JumpOptions).GetProperty(name)!;
            foreach (var factor in new[] { 0.8, 1.2 })
            {
                var jumps = new JumpOptions();
                var moved = factor * (double)property.GetValue(jumps)!;
                property.SetValue(jumps, moved);
                var wrong = Recordings.All
                    .Select(recording => (recording.Name, recording.Jumps, Found: recording.Analyse(new() { Jumps = jumps }).Jumps.Count))
                    .Where(count => count.Jumps != count.Found)
                    .Select(count => $"{count.Name} {count.Found} of {count.Jumps}")
                    .ToArray();
                table.Add(string.Create(
                    CultureInfo.InvariantCulture, $"{name,-26} {moved,7:0.###}  {(wrong.Length == 0 ? "all counts right" : string.Join("; ", wrong))}"));
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', table));
        Assert.All(table, row => Assert.EndsWith("all counts right", row, StringComparison.Ordinal));
    }

    [Fact]
    public void Flight_times_agree_with_the_force_plates()
    {
        Assert.SkipWhen(Recordings.Missing is not null, Recordings.Missing ?? string.Empty);

        // Take-off and landing where the plate falls below and exceeds 20 N (events.csv of each folder); a few ms.
        var errorsMs = new List<double>();
        foreach (var folder in new[] { "grf-jump-series", "grf-jump-ufsm", "grf-jump-bmclab" })
        {
            foreach (var trial in Events(folder).GroupBy(jump => jump.Trial, StringComparer.Ordinal))
            {
                var found = Recordings.Named($"{folder}/{trial.Key}").Analyse(new()).Jumps;
                errorsMs.AddRange(trial.Zip(found, (plate, jump) => 1000 * (jump.FlightTimeS - (plate.LandingS - plate.TakeoffS))));
            }
        }

        var sorted = errorsMs.Select(Math.Abs).Order().ToArray();
        TestContext.Current.TestOutputHelper?.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"flight time against plates, {sorted.Length} jumps: median {sorted[sorted.Length / 2]:F1} ms, worst {sorted[^1]:F1} ms"));
        Assert.Equal(14, sorted.Length);
        Assert.True(sorted[sorted.Length / 2] <= 4, $"median {sorted[sorted.Length / 2]:F1} ms");
        Assert.True(sorted[^1] <= 12, $"worst {sorted[^1]:F1} ms");
    }

    [Fact]
    public void Heights_by_velocity_agree_with_the_impulse_on_the_plate()
    {
        Assert.SkipWhen(Recordings.Missing is not null, Recordings.Missing ?? string.Empty);

        // v^2 / 2 g of the impulse over body mass (events.csv). jump0 is left out: 0.1 s of standing are too little for its own figure.
        var rows = new List<(string Trial, double PlateM, double FoundM)>();
        foreach (var folder in new[] { "grf-jump-series", "grf-jump-ufsm", "grf-jump-bmclab" })
        {
            foreach (var trial in Events(folder).Where(jump => jump.Trial != "jump0").GroupBy(jump => jump.Trial, StringComparer.Ordinal))
            {
                var found = Recordings.Named($"{folder}/{trial.Key}").Analyse(new()).Jumps;
                rows.AddRange(trial.Zip(found)
                    .Where(pair => pair.First.ImpulseHeightM is not null)
                    .Select(pair => (trial.Key, pair.First.ImpulseHeightM!.Value, pair.Second.HeightTakeoffVelocityM!.Value)));
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', rows.Select(row => string.Create(
            CultureInfo.InvariantCulture, $"{row.Trial,-10} plate {row.PlateM:F3} m, found {row.FoundM:F3} m"))));
        Assert.Equal(12, rows.Count);
        Assert.All(rows, row => Assert.Equal(row.PlateM, row.FoundM, 0.03));
    }

    internal static IEnumerable<(string Trial, double TakeoffS, double LandingS, double? ImpulseHeightM)> Events(string folder)
    {
        var lines = File.ReadAllLines(Repository.SharedPath("datasets", folder, "events.csv"));
        var names = lines[0].Split(',');
        foreach (var line in lines.Skip(1))
        {
            var cells = line.Split(',');
            double Cell(string name) => double.Parse(cells[Array.IndexOf(names, name)], CultureInfo.InvariantCulture);
            var impulse = cells[Array.IndexOf(names, "height_from_impulse_m")];
            yield return (
                cells[0],
                Cell("takeoff_s"),
                Cell("landing_s"),
                impulse.Length == 0 ? null : double.Parse(impulse, CultureInfo.InvariantCulture));
        }
    }
}

using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline.Motion;
using Saltograph.Testing;

namespace Saltograph.Pipeline.Tests.Motion;

/// <summary>One recording of the reference data as samples per site, and how many jumps are in it.</summary>
public sealed record Recording(string Name, int Jumps, IReadOnlyDictionary<Site, ImuSample[]> Samples)
{
    public JumpFacts Analyse(MotionOptions options)
    {
        var tracker = new MotionTracker(options);
        var facts = new JumpFacts();
        foreach (var (site, samples) in Samples)
        {
            tracker.SetSampleRate(site, RateHz(samples));
        }

        foreach (var (site, sample) in Samples
            .SelectMany(pair => pair.Value.Select(sample => (pair.Key, sample)))
            .OrderBy(pair => pair.sample.Time)
            .ThenByDescending(pair => pair.Key))
        {
            tracker.Push(site, sample, facts);
        }

        tracker.Complete(facts);
        return facts;
    }

    private static double RateHz(ImuSample[] samples)
    {
        var steps = samples.Zip(samples.Skip(1), (a, b) => b.Time - a.Time).Order().ToArray();
        return 1 / steps[steps.Length / 2];
    }
}

/// <summary>Reads the reference data; what each folder holds and how its counts are known stands in its README.</summary>
public static class Recordings
{
    private static readonly Lazy<Recording[]> Everything = new(() => [.. Imu(), .. Plates(), .. Running()]);

    public static string? Missing => Repository.SharedMissing("datasets");

    /// <summary>Every recording, read once.</summary>
    public static IReadOnlyList<Recording> All => Everything.Value;

    public static Recording Named(string name) => All.Single(recording => recording.Name == name);

    private static IEnumerable<Recording> Imu()
    {
        yield return Worn("imu-cmj-belt/cmj_belt_1", 1, (Site.Trunk, string.Empty));
        yield return Worn("imu-cmj-grf-nc/cmj_waist_1", 1, (Site.Trunk, string.Empty));
        yield return Worn("mocap-jumps/mocap_01_01", 10, (Site.Trunk, "sacrum_"));
        yield return Worn(
            "mocap-jumps/mocap_01_01", 10, (Site.Trunk, "sacrum_"), (Site.AnkleLeft, "shank_left_"), (Site.AnkleRight, "shank_right_"))
            with
        { Name = "mocap-jumps/mocap_01_01 with ankles" };
        foreach (var name in Names("imu-gait-uturn", "walk_*"))
        {
            yield return Worn(name, 0, (Site.Trunk, "lowback_"));
            yield return Worn(name, 0, (Site.Trunk, "lowback_"), (Site.AnkleLeft, "foot_left_"), (Site.AnkleRight, "foot_right_"))
                with
            { Name = name + " with feet" };
        }

        foreach (var name in Names("imu-lowback-turns", "*"))
        {
            yield return Worn(name, 0, (Site.Trunk, string.Empty));
        }
    }

    /// <summary>Force over body mass is what an ideal accelerometer at the centre of mass reads.</summary>
    private static IEnumerable<Recording> Plates() =>
    [
        Vertical("grf-jump-series/series_1", 4, "com_acc_z_mps2"),
        Vertical("grf-jump-series/series_4", 3, "com_acc_z_mps2"),
        Vertical("grf-jump-series/series_5", 3, "com_acc_z_mps2"),
        Vertical("grf-jump-ufsm/cmj", 1, "com_acc_z_mps2"),
        Vertical("grf-jump-ufsm/drop_jump", 1, "com_acc_z_mps2"),
        Vertical("grf-jump-bmclab/jump0", 1, "com_acc_z_mps2"),
        Vertical("grf-jump-bmclab/jump1", 1, "com_acc_z_mps2"),
    ];

    private static IEnumerable<Recording> Running() =>
        Names("sacrum-run-grf", "run_*").Select(name => Vertical(name, 0, "acc_vertical_mps2"));

    private static IEnumerable<string> Names(string folder, string pattern) =>
        Directory.GetFiles(Repository.SharedPath("datasets", folder), pattern + ".csv.gz")
            .Order(StringComparer.Ordinal)
            .Select(path => folder + "/" + Path.GetFileName(path)[..^".csv.gz".Length]);

    private static SharedTable Table(string name) =>
        SharedTable.Read(Repository.SharedPath(["datasets", .. (name + ".csv.gz").Split('/')]));

    private static Recording Worn(string name, int jumps, params (Site Site, string Prefix)[] sites)
    {
        var table = Table(name);
        return new(name, jumps, sites.ToDictionary(site => site.Site, site => Samples(table, site.Prefix)));
    }

    private static ImuSample[] Samples(SharedTable table, string prefix)
    {
        Vector3D Vector(string what, string unit, int row) => new(
            table[$"{prefix}{what}_x_{unit}"][row], table[$"{prefix}{what}_y_{unit}"][row], table[$"{prefix}{what}_z_{unit}"][row]);
        return [.. Enumerable.Range(0, table.Rows)
            .Select(row => new ImuSample(
                SampleTime.FromSeconds(table["time_s"][row]), Vector("acc", "mps2", row), Vector("gyr", "radps", row)))
            .Where(sample => sample.IsFinite)];
    }

    private static Recording Vertical(string name, int jumps, string column)
    {
        var table = Table(name);
        return new(name, jumps, new Dictionary<Site, ImuSample[]>
        {
            [Site.Trunk] = [.. Enumerable.Range(0, table.Rows).Select(row => new ImuSample(
                SampleTime.FromSeconds(table["time_s"][row]), new(0, 0, table[column][row]), Vector3D.Zero))],
        });
    }
}

using System.Globalization;
using System.Text;
using System.Text.Json;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Verbs;

/// <summary>The verb <c>analyse</c> on recordings of real people; counts from the data sets' own descriptions.</summary>
public sealed class RealRecordingTests
{
    [Theory]
    [InlineData("imu-cmj-belt/cmj_belt_1.csv.gz", null, 1)]
    [InlineData("imu-cmj-grf-nc/cmj_waist_1.csv.gz", null, 1)]
    [InlineData("mocap-jumps/mocap_01_01.csv.gz", "sacrum", 10)]
    public Task The_jumps_of_a_trunk_recording_are_found(string file, string? prefix, int jumps) => AssertCountAsync(file, prefix, null, null, jumps);

    [Fact]
    public Task The_ten_jumps_are_found_with_both_ankles_too() =>
        AssertCountAsync("mocap-jumps/mocap_01_01.csv.gz", "sacrum", "shank_left", "shank_right", 10);

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Walking_with_a_turn_and_lost_packets_has_no_jump(bool withFeet)
    {
        foreach (var file in Files("imu-gait-uturn", "walk_uturn_*.csv.gz"))
        {
            await AssertCountAsync(file, "lowback", withFeet ? "foot_left" : null, withFeet ? "foot_right" : null, 0);
        }
    }

    [Fact]
    public async Task Seven_minutes_of_daily_life_have_no_jump()
    {
        foreach (var file in Files("imu-lowback-turns", "*.csv.gz"))
        {
            await AssertCountAsync(file, null, null, null, 0);
        }
    }

    // The plate's vertical force over the body mass is what an ideal accelerometer at the centre of mass would read.
    [Theory]
    [InlineData("grf-jump-series/series_1.csv.gz", 4)]
    [InlineData("grf-jump-series/series_4.csv.gz", 3)]
    [InlineData("grf-jump-series/series_5.csv.gz", 3)]
    [InlineData("grf-jump-ufsm/cmj.csv.gz", 1)]
    [InlineData("grf-jump-ufsm/drop_jump.csv.gz", 1)]
    [InlineData("grf-jump-bmclab/jump0.csv.gz", 1)]
    [InlineData("grf-jump-bmclab/jump1.csv.gz", 1)]
    public async Task A_force_plate_as_ideal_trunk_sensor_gives_its_jumps(string file, int jumps)
    {
        SkipWithout(file);
        var table = SharedTable.Read(Repository.SharedPath(["datasets", .. file.Split('/')]));
        using var folder = new TemporaryFolder();
        var text = new StringBuilder("time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n");
        for (var row = 0; row < table.Rows; row++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{table["time_s"][row]},0,0,{table["com_acc_z_mps2"][row]},0,0,0\n");
        }

        var records = await AnalyseAsync(folder, ["--trunk", folder.Write("trunk.csv", text.ToString())]);
        Assert.Equal(jumps, records.Count);
    }

    private static IEnumerable<string> Files(string folder, string pattern)
    {
        SkipWithout(folder);
        return Directory.GetFiles(Repository.SharedPath("datasets", folder), pattern).Select(path => $"{folder}/{Path.GetFileName(path)}");
    }

    private static void SkipWithout(string file)
    {
        var why = Repository.SharedMissing(["datasets", .. file.Split('/')]);
        Assert.SkipWhen(why is not null, why ?? "");
    }

    private static async Task AssertCountAsync(string file, string? trunk, string? left, string? right, int jumps)
    {
        SkipWithout(file);
        var path = Repository.SharedPath(["datasets", .. file.Split('/')]);
        string[] arguments = ["--trunk", trunk is null ? path : $"{path}:{trunk}"];
        arguments = left is null ? arguments : [.. arguments, "--ankle-left", $"{path}:{left}", "--ankle-right", $"{path}:{right}"];
        using var folder = new TemporaryFolder();
        var records = await AnalyseAsync(folder, arguments);
        Assert.True(jumps == records.Count, $"{file}: {records.Count} jumps instead of {jumps}");
    }

    private static async Task<List<JsonElement>> AnalyseAsync(TemporaryFolder folder, string[] inputs)
    {
        var output = folder.File("jumps.jsonl");
        var run = await Cli.RunAsync(["analyse", .. inputs, "--output", output]);
        Assert.True(run.ExitCode == 0, run.Error);
        return [.. File.ReadLines(output).Select(line => JsonDocument.Parse(line).RootElement)];
    }
}

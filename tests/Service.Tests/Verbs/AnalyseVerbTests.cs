using System.Globalization;
using System.Text;
using System.Text.Json;

namespace Saltograph.Service.Tests.Verbs;

public sealed class AnalyseVerbTests : IDisposable
{
    // Section 5 of the contracts, in its order.
    private static readonly string[] Keys =
    [
        "athlete", "number", "takeoffS", "peakS", "landingS", "form", "takeoffFoot", "landingFoot", "secondFootLagS",
        "flightTimeS", "heightM", "heightFlightTimeM", "heightTakeoffVelocityM", "trunkRiseM", "takeoffVelocityMps",
        "pushOffTimeS", "crouchDepthM", "turnPreparationDeg", "turnFlightDeg", "turnRecoveryDeg", "turnRateTakeoffDps",
        "turnRateTopDps", "turnRatePeakDps", "inertiaGrowth", "splitAngleDeg", "splitAngleAtPeakDeg", "splitHoldFraction",
        "landingShockG", "shockAttenuationPercent", "shockRiseTimeS", "absorptionTimeS", "absorptionDepthM", "series",
        "uncertainty", "grade", "quality",
    ];

    private readonly TemporaryFolder _folder = new();

    private string Output => _folder.File("jumps.jsonl");

    [Fact]
    public async Task A_jump_becomes_a_line_with_every_key_of_the_contract()
    {
        var run = await Cli.RunAsync("analyse", "--trunk", Jump(), "--output", Output, "--athlete", "amber");
        Assert.Equal(0, run.ExitCode);
        var bytes = await File.ReadAllBytesAsync(Output, TestContext.Current.CancellationToken);
        Assert.Equal((byte)'{', bytes[0]); // no byte order mark
        Assert.Equal((byte)'\n', bytes[^1]);
        Assert.DoesNotContain((byte)'\r', bytes);
        var line = Assert.Single(Encoding.UTF8.GetString(bytes).Split('\n', StringSplitOptions.RemoveEmptyEntries));
        var record = JsonDocument.Parse(line).RootElement;
        Assert.Equal(string.Join(' ', Keys), string.Join(' ', record.EnumerateObject().Select(property => property.Name)));
        Assert.Equal("amber", record.GetProperty("athlete").GetString());
        Assert.Equal(0.5, record.GetProperty("flightTimeS").GetDouble(), 0.02); // the flight in Jump()
        Assert.Equal("C", record.GetProperty("grade").GetString());
        Assert.Equal(JsonValueKind.Null, record.GetProperty("form").ValueKind);
        Assert.Equal(["trunk", "ankleLeft", "ankleRight"], [.. record.GetProperty("landingShockG").EnumerateObject().Select(property => property.Name)]);
    }

    [Fact]
    public async Task The_terminal_shows_a_table_and_the_cautions()
    {
        var run = await Cli.RunAsync("analyse", "--trunk", Jump(), "--output", Output);
        Assert.Contains("trunk: 800 rows, 200.0 Hz, 0 lost, 0 saturated", run.Out, StringComparison.Ordinal);
        Assert.Contains("ankle-left-missing", run.Out, StringComparison.Ordinal);
        Assert.Contains("not a medical device", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_output_is_written_anew_and_empty_without_a_jump()
    {
        await File.WriteAllTextAsync(Output, "old\n", TestContext.Current.CancellationToken);
        var run = await Cli.RunAsync("analyse", "--trunk", Samples(Enumerable.Repeat(9.81, 600)), "--output", Output);
        Assert.Equal(0, run.ExitCode);
        Assert.Empty(await File.ReadAllBytesAsync(Output, TestContext.Current.CancellationToken));
        Assert.Equal(["jumps.jsonl", "trunk.csv"], [.. Directory.GetFiles(_folder.Root).Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)]);
    }

    [Fact]
    public async Task A_recording_that_starts_and_ends_at_zero_force_is_no_error()
    {
        var run = await Cli.RunAsync("analyse", "--trunk", Samples(Enumerable.Repeat(0.0, 400)), "--output", Output);
        Assert.Equal(0, run.ExitCode);
        Assert.Empty(await File.ReadAllBytesAsync(Output, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_gap_inside_a_jump_is_bridged_and_said_in_quality()
    {
        var run = await Cli.RunAsync("analyse", "--trunk", Jump(lost: 410..415), "--output", Output);
        Assert.Equal(0, run.ExitCode);
        var line = Assert.Single(await File.ReadAllLinesAsync(Output, TestContext.Current.CancellationToken));
        var quality = JsonDocument.Parse(line).RootElement.GetProperty("quality").EnumerateArray().Select(word => word.GetString());
        Assert.Contains("packet-gap", quality, StringComparer.Ordinal);
    }

    [Theory]
    [InlineData]
    [InlineData("analyse")]
    [InlineData("analyse", "--trunk")]
    [InlineData("analyse", "--trunk", "a.csv")]
    [InlineData("analyse", "--trunk", "a.csv", "--output", "b.jsonl", "--strange")]
    [InlineData("analyse", "--trunk", "a.csv", "--output", "b.jsonl", "--range", "many")]
    [InlineData("analyse", "--trunk", "a.csv", "--output", "b.jsonl", "--range", "knee=10")]
    [InlineData("analyse", "--trunk", "a.csv", "--output", "b.jsonl", "--athlete", "A Name")]
    [InlineData("measure")]
    [InlineData("serve")]
    public async Task Wrong_usage_ends_with_2_and_a_message(params string[] arguments)
    {
        var run = await Cli.RunAsync(arguments);
        Assert.Equal(2, run.ExitCode);
        Assert.NotEmpty(run.Error);
    }

    [Fact]
    public async Task A_wrong_input_ends_with_2_and_leaves_the_output_alone()
    {
        await File.WriteAllTextAsync(Output, "old\n", TestContext.Current.CancellationToken);
        var run = await Cli.RunAsync("analyse", "--trunk", _folder.Write("bad.csv", "time_s\n0\n"), "--output", Output);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("bad.csv, line 1, acc_x_mps2: found", run.Error, StringComparison.Ordinal);
        Assert.Equal("old\n", await File.ReadAllTextAsync(Output, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task An_output_that_cannot_be_written_ends_with_1()
    {
        var run = await Cli.RunAsync("analyse", "--trunk", Jump(), "--output", _folder.File("no/such/folder/jumps.jsonl"));
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("cannot be written", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--help")]
    [InlineData("analyse", "--help")]
    [InlineData("serve", "--help")]
    [InlineData("demo", "--help")]
    [InlineData("simulate", "--help")]
    public async Task Help_ends_with_0(params string[] arguments)
    {
        var run = await Cli.RunAsync(arguments);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Usage:", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Version_is_told()
    {
        var run = await Cli.RunAsync("--version");
        Assert.Equal(0, run.ExitCode);
        Assert.StartsWith("0.1.0", run.Out, StringComparison.Ordinal);
    }

    public void Dispose() => _folder.Dispose();

    private string Jump(Range? lost = null) => Samples(TextbookJumps.One(), lost);

    private string Samples(IEnumerable<double> verticalMps2, Range? lost = null)
    {
        var text = new StringBuilder("time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n");
        var row = 0;
        foreach (var force in verticalMps2)
        {
            var isLost = lost is { } range && row >= range.Start.Value && row < range.End.Value;
            var cells = isLost ? ",,,,," : string.Create(CultureInfo.InvariantCulture, $"0,0,{force},0,0,0");
            text.Append(CultureInfo.InvariantCulture, $"{row / 200.0},{cells}\n");
            row++;
        }

        return _folder.Write("trunk.csv", text.ToString());
    }
}

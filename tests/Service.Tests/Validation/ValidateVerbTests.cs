using System.Globalization;
using System.Text.RegularExpressions;
using Saltograph.Service.Validation;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Tests.Validation;

public sealed class ValidateVerbTests : IDisposable
{
    private static readonly ValidationPlan Small = new()
    {
        FirstSeed = 7101,
        Trainings = 1,
        TrainingS = 60,
        SweepTrainings = 1,
        SweepS = 30,
        RatesHz = [100],
        RangesG = [8],
        GyroscopeRangesDps = [500],
    };

    private readonly TemporaryFolder _folder = new();

    [Fact]
    public void The_page_needs_nothing_else_and_shows_the_figures_that_were_computed()
    {
        var data = Folder("data");
        Folder("data/empty");
        Set("data/hall", "trial,takeoff_s,landing_s\nstill,1,1.4\n");
        var result = ValidationRun.Run(Small, data, new WorkProgress());
        var page = ValidationPage.Text(result, DateTimeOffset.UnixEpoch);
        Pages.NeedsNothingElse(page);

        // Reckoned anew from the pairs.
        var flight = result.AsWorn.Pairs.Select(pair => 1000 * (pair.Measured.Values["flightTimeS"] - pair.Truth.Values["flightTimeS"])).ToList();
        var sizes = flight.Select(Math.Abs).Order().ToList();
        Assert.True(flight.Count >= 3, $"{flight.Count} jumps");
        var mean = flight.Sum() / flight.Count;
        var deviation = Math.Sqrt(flight.Sum(error => Math.Pow(error - mean, 2)) / (flight.Count - 1));
        var row = Regex.Match(page, "<tr><td class=\"text\">flight time</td>.*?</tr>", RegexOptions.None, TimeSpan.FromSeconds(5)).Value;
        foreach (var figure in new[] { mean, deviation, mean - (1.959964 * deviation), mean + (1.959964 * deviation), sizes[(int)Math.Ceiling(0.95 * sizes.Count) - 1] })
        {
            Assert.Contains(Plots.Figure(figure), row, StringComparison.Ordinal);
        }

        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"{result.AsWorn.Asked - result.AsWorn.Missed} of {result.AsWorn.Asked} jumps found"), page, StringComparison.Ordinal);
        foreach (var (name, _) in ValidationPlan.Worn)
        {
            Assert.Contains($"<td class=\"text\">{name}</td>", page, StringComparison.Ordinal);
        }

        Assert.All(["100 Hz", "8 g", "500 deg/s", "empty: no events.csv", "not a medical device", "1970-01-01 00:00 UTC"], text => Assert.Contains(text, page, StringComparison.Ordinal));

        // A trial whose jump the recording does not show: missed, and said so.
        Assert.Equal(1, result.Recorded.Single(set => set.Name == "hall").Score.Missed);
        Assert.DoesNotContain(_folder.Root, page, StringComparison.Ordinal);

        // Every plot is there, with ids of its own.
        var ids = Regex.Matches(page, "\\bid=\"(?<id>[^\"]+)\"", RegexOptions.ExplicitCapture, TimeSpan.FromSeconds(5)).Select(match => match.Groups["id"].Value).ToList();
        Assert.Equal(ids.Count, ids.Distinct(StringComparer.Ordinal).Count());
        Assert.Equal(7 + 4 + 4 + 4 + 2 + 2 + 1, Regex.Count(page, "<svg ", RegexOptions.None, TimeSpan.FromSeconds(5)));
    }

    [Fact]
    public void A_folder_that_is_no_set_is_left_out_with_the_reason()
    {
        var data = Folder("data");
        Folder("data/a");
        Set("data/b", "trial,takeoff_s\nx,1\n");
        Set("data/c", "trial,takeoff_s,landing_s\nx,2,1\n");
        Set("data/d", "trial,takeoff_s,landing_s\nmissing,1,2\n");
        var sets = RecordedSets.Measure(data).ToDictionary(set => set.Name, set => set.Skipped[0], StringComparer.Ordinal);
        Assert.Equal("no events.csv", sets["a"]);
        Assert.Contains("events.csv, line 1, landing_s: found no column landing_s", sets["b"], StringComparison.Ordinal);
        Assert.Contains("events.csv, line 2, takeoff_s: found '2' and '1'", sets["c"], StringComparison.Ordinal);
        Assert.Equal("missing: no recording of this name", sets["d"]);
    }

    [Theory]
    [InlineData("validate")]
    [InlineData("validate", "--output", "report.pdf")]
    [InlineData("validate", "--output", "report.html", "--trainings", "0")]
    [InlineData("validate", "--output", "report.html", "--data", "no-such-folder")]
    public async Task Wrong_usage_is_told_as_such(params string[] arguments)
    {
        var run = await Cli.RunAsync(arguments);
        Assert.Equal(2, run.ExitCode);
        Assert.NotEmpty(run.Error);
    }

    [Fact]
    public async Task A_report_that_cannot_be_written_fails_before_the_work()
    {
        var run = await Cli.RunAsync("validate", "--quick", "--output", _folder.File("no/such/folder.html"));
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("cannot be written", run.Error, StringComparison.Ordinal);
    }

    public void Dispose() => _folder.Dispose();

    private string Folder(string name) => Directory.CreateDirectory(_folder.File(name)).FullName;

    // A set whose one recording stands still for four seconds.
    private void Set(string name, string events)
    {
        Folder(name);
        _folder.Write(name + "/events.csv", events);
        _folder.Write(
            name + "/still.csv",
            "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n"
                + string.Concat(Enumerable.Range(0, 800).Select(i => string.Create(CultureInfo.InvariantCulture, $"{i / 200.0},0,0,9.81,0,0,0\n"))));
    }
}

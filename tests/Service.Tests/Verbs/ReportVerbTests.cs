using Saltograph.Service.Tests.Reports;
using Saltograph.Store;

namespace Saltograph.Service.Tests.Verbs;

public sealed class ReportVerbTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    [Fact]
    public async Task Each_report_is_written_as_a_page_that_needs_nothing_else()
    {
        await StoreAsync();
        foreach (var (kind, more) in new (string, string[])[] { ("session", []), ("athlete-month", ["--athlete", "amber", "--day", "2027-01-16"]), ("squad-week", ["--day", "2027-01-16"]), ("guardian", ["--athlete", "amber"]), ("comparison", ["--a", "session=amber.s1", "--b", "athlete=amber,from=2027-01-15,to=2027-01-16"]) })
        {
            // The latest training is looked for in the last 28 days, and those of this test are in the future: it is named.
            string[] which = kind == "session" ? ["--session", "amber.s0"] : more;
            var run = await Cli.RunAsync(["report", kind, "--config", _folder.Root, "--output", _folder.File(kind + ".html"), .. which]);
            Assert.Equal((0, ""), (run.ExitCode, run.Error));
            Assert.Contains("not a medical device", run.Out, StringComparison.Ordinal);
            var page = await File.ReadAllTextAsync(_folder.File(kind + ".html"), TestContext.Current.CancellationToken);
            Pages.NeedsNothingElse(page);
            Assert.Contains("amber", page, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("KIND: found 'year'; allowed: session, athlete-month, squad-week, guardian, comparison.", "year")]
    [InlineData("--a: found 'athlete=amber,jump=x'", "comparison", "--a", "athlete=amber,jump=x", "--b", "athlete=beryl")]
    [InlineData("--a and --b: found one or none", "comparison", "--a", "athlete=amber")]
    [InlineData("--athlete: found nothing; allowed: a pseudonym.", "guardian")]
    [InlineData("--day: found '2027-02-30'; allowed: a day as yyyy-MM-dd, 1900-01-01 to 9000-12-31.", "squad-week", "--day", "2027-02-30")]
    [InlineData("--day: found '9999-12-31'; allowed: a day as yyyy-MM-dd, 1900-01-01 to 9000-12-31.", "squad-week", "--day", "9999-12-31")]
    [InlineData("--output: found 'report.txt'; allowed: a file name that ends in .html.", "squad-week", "--output", "report.txt")]
    public async Task A_wrong_argument_is_refused_with_what_is_allowed(string message, params string[] arguments)
    {
        string[] output = arguments.Contains("--output", StringComparer.Ordinal) ? [] : ["--output", _folder.File("r.html")];
        var run = await Cli.RunAsync(["report", .. arguments, "--config", _folder.Root, .. output]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_athlete_or_training_that_is_not_stored_is_told_and_no_file_is_written()
    {
        await StoreAsync();
        foreach (var more in new string[][] { ["athlete-month", "--athlete", "nobody"], ["session", "--session", "none"] })
        {
            var run = await Cli.RunAsync(["report", .. more, "--config", _folder.Root, "--output", _folder.File("r.html")]);
            Assert.Equal(2, run.ExitCode);
            Assert.Contains("Found nothing to report", run.Error, StringComparison.Ordinal);
            Assert.False(File.Exists(_folder.File("r.html")));
        }
    }

    public void Dispose() => _folder.Dispose();

    private async Task StoreAsync()
    {
        _folder.Write("service.json", "{\"timeZone\":\"" + ReportHall.Zone + "\",\"store\":{\"file\":\"hall.db\"}}");
        _folder.Write("roster.json", """{"sensors":[{"sensor":"a-trunk","athlete":"amber","site":"trunk"}]}""");
        _folder.Write("thresholds.json", "{}");
        await using var store = await HallStore.OpenAsync(new() { File = _folder.File("hall.db") }, TestContext.Current.CancellationToken);
        await ReportHall.FillAsync(store, ["amber", "beryl"], 1_800_000_000_000_000, trainings: 2, jumpsEach: 6);
    }
}

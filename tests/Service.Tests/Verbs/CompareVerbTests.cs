using System.Globalization;
using System.Text.Json;

namespace Saltograph.Service.Tests.Verbs;

public sealed class CompareVerbTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    [Fact]
    public async Task Two_groups_become_a_table_and_words_of_the_trade()
    {
        var run = await Cli.RunAsync("compare", Jumps("a.jsonl", 0.40, 0.41, 0.42), Jumps("b.jsonl", 0.50, 0.51, 0.52));
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.Contains("a.jsonl: 3 jumps, 1 gymnast", run.Out, StringComparison.Ordinal);
        Assert.Contains("longer in the air: flight time +0.100 s, 6.2 detectable changes", run.Out, StringComparison.Ordinal);
        Assert.Contains("+0.077 to +0.123", run.Out, StringComparison.Ordinal); // t(4) 2.776 times 0.01 sqrt(2/3)
        Assert.Contains("Not measured on both sides:", run.Out, StringComparison.Ordinal);
        Assert.Contains("not a medical device", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_comparison_is_written_as_json()
    {
        var run = await Cli.RunAsync("compare", Jumps("a.jsonl", 0.40, 0.41, 0.42), Jumps("b.jsonl", 0.50, 0.51, 0.52), "--output", _folder.File("c.json"));
        Assert.Equal(0, run.ExitCode);
        using var json = JsonDocument.Parse(await File.ReadAllTextAsync(_folder.File("c.json"), TestContext.Current.CancellationToken));
        var flight = json.RootElement.GetProperty("measures").EnumerateArray().Single(each => each.GetProperty("key").GetString() == "flightTimeS");
        Assert.Equal(0.1, flight.GetProperty("difference").GetDouble(), 1e-6);
        Assert.Equal("spread", flight.GetProperty("standardUncertaintyFrom").GetString());
        Assert.Equal(3, flight.GetProperty("a").GetProperty("n").GetInt32());
        var split = json.RootElement.GetProperty("measures").EnumerateArray().Single(each => each.GetProperty("key").GetString() == "splitAngleDeg");
        Assert.Equal(JsonValueKind.Null, split.GetProperty("difference").ValueKind);
        Assert.Equal("b.jsonl", json.RootElement.GetProperty("b").GetProperty("file").GetString());
    }

    [Fact]
    public async Task The_comparison_is_written_as_a_page_that_needs_nothing_else()
    {
        var run = await Cli.RunAsync("compare", Jumps("a<b.jsonl", 0.40, 0.41, 0.42), Jumps("b.jsonl", 0.50, 0.51, 0.52), "--output", _folder.File("c.html"));
        Assert.Equal(0, run.ExitCode);
        var page = await File.ReadAllTextAsync(_folder.File("c.html"), TestContext.Current.CancellationToken);
        Pages.NeedsNothingElse(page);
        Assert.Contains("a&lt;b.jsonl", page, StringComparison.Ordinal);
        Assert.Contains("longer in the air", page, StringComparison.Ordinal);
        Assert.Contains("not a medical device", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_saturated_landing_is_told_as_at_least()
    {
        const string Soft = "\"landingShockG\":{\"trunk\":3,\"ankleLeft\":10,\"ankleRight\":null},\"shockAttenuationPercent\":70,\"quality\":[]";
        const string Hard = "\"landingShockG\":{\"trunk\":3,\"ankleLeft\":32,\"ankleRight\":null},\"shockAttenuationPercent\":90,\"quality\":[\"saturated\"]";
        var a = _folder.Write("a.jsonl", string.Concat(Enumerable.Range(1, 3).Select(i => Line(i, 0.4, Soft))));
        var b = _folder.Write("b.jsonl", string.Concat(Enumerable.Range(1, 3).Select(i => Line(i, 0.4, Hard))));
        var run = await Cli.RunAsync("compare", a, b);
        Assert.Contains(">= 32.0", run.Out, StringComparison.Ordinal);
        Assert.Contains("harder landing on the left foot: landing shock, left ankle at least +22.0 g", run.Out, StringComparison.Ordinal);

        // 90 per cent would be a quotient with a number that is not known.
        Assert.Contains("Not measured on both sides:", run.Out, StringComparison.Ordinal);
        Assert.Contains("shock attenuation", run.Out.Split("Not measured on both sides:")[1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_wrong_line_ends_it_with_file_line_and_key()
    {
        var bad = _folder.Write("bad.jsonl", Line(1, 0.4, "\"quality\":[]") + "{\"athlete\":\"amber\",\"number\":\"two\"}\n");
        var run = await Cli.RunAsync("compare", Jumps("a.jsonl", 0.4), bad);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("bad.jsonl, line 2, number: found \"two\"; allowed: a whole number.", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Curves_are_compared_along_the_phases()
    {
        // Flat curves that scatter by 1; in B ten nodes of the flight lie 20 higher. Right turns count like left ones.
        string[] a = [.. new[] { -1, 0, 1 }.Select(shift => Curve(node => 100 + shift))];
        string[] b = [.. new[] { -1, 0, 1 }.Select(shift => Curve(node => -(100 + shift + (node is >= 60 and < 70 ? 20 : 0))))];
        var run = await Cli.RunAsync(
            "compare", Jumps("a.jsonl", 0.4), Jumps("b.jsonl", 0.5), "--output", _folder.File("c.html"),
            "--curves", _folder.Write("ca.jsonl", string.Concat(a)), _folder.Write("cb.jsonl", string.Concat(b)));
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        const string Told = "turn rate: more from flight 0 % to flight 15 %, at most +20.0 deg/s";
        Assert.Contains(Told, run.Out, StringComparison.Ordinal);
        var page = await File.ReadAllTextAsync(_folder.File("c.html"), TestContext.Current.CancellationToken);
        Pages.NeedsNothingElse(page);
        Assert.Contains(Told, page, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[1,2]", "found 2 entries")]
    [InlineData("3", "found no list")]
    public async Task A_wrong_curve_is_named_with_line_and_key(string rates, string found)
    {
        var bad = _folder.Write("bad.jsonl", Curve(_ => 1) + "{\"athlete\":\"amber\",\"turnRateDps\":" + rates + "}\n");
        var run = await Cli.RunAsync("compare", Jumps("a.jsonl", 0.4), Jumps("b.jsonl", 0.5), "--curves", bad, bad);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"bad.jsonl, line 2, turnRateDps: {found}; allowed: 161 numbers, or null", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("compare")]
    [InlineData("compare", "a", "b", "--curves", "one.jsonl")]
    [InlineData("compare", "only.jsonl")]
    [InlineData("compare", "none-a.jsonl", "none-b.jsonl")]
    [InlineData("compare", "a", "b", "--output", "c.txt")]
    public async Task Wrong_usage_is_told_as_such(params string[] arguments)
    {
        var run = await Cli.RunAsync(arguments);
        Assert.Equal(2, run.ExitCode);
        Assert.NotEmpty(run.Error);
    }

    [Fact]
    public async Task A_file_without_a_jump_cannot_be_compared()
    {
        var run = await Cli.RunAsync("compare", _folder.Write("empty.jsonl", ""), Jumps("b.jsonl", 0.4));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("found no jump", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_output_that_cannot_be_written_fails()
    {
        var run = await Cli.RunAsync("compare", Jumps("a.jsonl", 0.4), Jumps("b.jsonl", 0.5), "--output", _folder.File("no/such/folder.json"));
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("cannot be written", run.Error, StringComparison.Ordinal);
    }

    public void Dispose() => _folder.Dispose();

    private static string Curve(Func<int, int> rate) =>
        $"{{\"athlete\":\"amber\",\"number\":1,\"turnRateDps\":[{string.Join(',', Enumerable.Range(0, 161).Select(rate))}],\"splitAngleDeg\":null}}\n";

    private static string Line(int number, double flightTimeS, string rest) => string.Create(
        CultureInfo.InvariantCulture,
        $"{{\"athlete\":\"amber\",\"number\":{number},\"takeoffS\":1,\"peakS\":1.2,\"landingS\":{1 + flightTimeS},\"flightTimeS\":{flightTimeS},\"heightM\":0.2,{rest}}}\n");

    private string Jumps(string name, params double[] flightTimesS) =>
        _folder.Write(name, string.Concat(flightTimesS.Select((flightTimeS, i) => Line(i + 1, flightTimeS, "\"quality\":[]"))));
}

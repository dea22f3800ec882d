using System.Text.Json;

namespace Saltograph.Service.Tests.Verbs;

public sealed class SimulateVerbTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    [Fact]
    public async Task Files_and_truth_are_written_and_analysis_finds_the_jumps()
    {
        var run = await Cli.RunAsync("simulate", "--csv", _folder.Root, "--duration", "60", "--seed", "7", "--skill", "0.8");
        Assert.True(run.ExitCode == 0, run.Error);
        var athlete = run.Out.Split(':')[0];
        var truth = Lines($"{athlete}-truth.jsonl").Where(line => !line.TryGetProperty("distractor", out _)).ToList();
        Assert.NotEmpty(truth);
        Assert.All(truth, jump => Assert.Equal(athlete, jump.GetProperty("athlete").GetString()));

        var output = _folder.File("jumps.jsonl");
        run = await Cli.RunAsync(
            "analyse", "--trunk", _folder.File($"{athlete}-trunk.csv"), "--ankle-left", _folder.File($"{athlete}-ankle-left.csv"),
            "--ankle-right", _folder.File($"{athlete}-ankle-right.csv"), "--athlete", athlete, "--output", output);
        Assert.True(run.ExitCode == 0, run.Error);
        var found = Lines("jumps.jsonl").Select(jump => jump.GetProperty("peakS").GetDouble()).ToList();
        var hits = truth.Count(jump => found.Exists(peakS => Math.Abs(peakS - jump.GetProperty("peakS").GetDouble()) < 0.2));
        Assert.True(hits >= 0.9 * truth.Count, $"{hits} of {truth.Count} jumps found"); // the accuracy itself is tested with the algorithms
    }

    [Fact]
    public async Task The_same_seed_writes_the_same_bytes()
    {
        await Cli.RunAsync("simulate", "--csv", _folder.File("a"), "--duration", "10", "--seed", "3");
        await Cli.RunAsync("simulate", "--csv", _folder.File("b"), "--duration", "10", "--seed", "3");
        var files = Directory.GetFiles(_folder.File("a"));
        Assert.Equal(4, files.Length);
        Assert.All(files, file => Assert.Equal(File.ReadAllBytes(file), File.ReadAllBytes(Path.Combine(_folder.File("b"), Path.GetFileName(file)))));
    }

    [Theory]
    [InlineData("simulate")]
    [InlineData("simulate", "--csv", "x", "--broker", "localhost:1883")]
    [InlineData("simulate", "--csv", "x", "--athletes", "0")]
    [InlineData("simulate", "--csv", "x", "--rate", "10")]
    [InlineData("simulate", "--broker", "localhost")]
    [InlineData("simulate", "--broker", "localhost:1883", "--speed", "0")]
    [InlineData("simulate", "--broker", "localhost:1883", "--hall", "My Hall")]
    public async Task Wrong_usage_ends_with_2(params string[] arguments)
    {
        var run = await Cli.RunAsync(arguments);
        Assert.Equal(2, run.ExitCode);
        Assert.NotEmpty(run.Error);
    }

    [Fact]
    public async Task A_broker_that_is_not_there_ends_with_1()
    {
        var run = await Cli.RunAsync("simulate", "--broker", "127.0.0.1:1", "--duration", "5");
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("127.0.0.1:1", run.Error, StringComparison.Ordinal);
    }

    public void Dispose() => _folder.Dispose();

    private List<JsonElement> Lines(string name) => [.. File.ReadLines(_folder.File(name)).Select(line => JsonDocument.Parse(line).RootElement)];
}

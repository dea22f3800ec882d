using Saltograph.Fuzz.Targets;

namespace Saltograph.Fuzz.Tests;

/// <summary>The driver finds what is there to be found, and the readers stand what earlier campaigns have found. One class: the map of coverage is one for the process.</summary>
public sealed class CampaignTests : IDisposable
{
    private static readonly InstrumentedAssemblies Instrumented = new();
    private static readonly bool IsLong = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1";

    private readonly CoverageMap _map = new();

    public static TheoryData<string> Readers => [.. Catalogue.Names.Except(["planted"], StringComparer.Ordinal)];

    [Fact]
    public void A_defect_behind_five_bytes_is_found_byte_by_byte()
    {
        var found = new Campaign(Plans.Of("planted"), Instrumented.Open("planted"), _map, seed: 1) { MostDefects = 1 }.Run(3_000_000, []);
        var defect = Assert.Single(found.Defects);
        Assert.StartsWith("Salto", System.Text.Encoding.ASCII.GetString(defect.Input), StringComparison.Ordinal);
        Assert.Contains("planted", defect.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_instrumentation_there_is_nothing_to_go_by() => Assert.Throws<InvalidOperationException>(
        () => new Campaign(Plans.Of("planted"), Catalogue.Open("planted"), _map, seed: 1).Run(1000, []));

    [Theory]
    [MemberData(nameof(Readers))]
    public void The_readers_stand_the_kept_inputs_and_some_new_ones(string target)
    {
        var kept = Corpus.Read(target);
        Assert.True(kept.Count >= 20, $"{kept.Count} kept inputs of {target}");
        byte[]? hanging = null;
        var campaign = new Campaign(Plans.Of(target), Instrumented.Open(target), _map, seed: Environment.TickCount)
        {
            Hanging = input => Environment.FailFast($"{target} hangs with {Convert.ToHexString(hanging = input)}"),
        };
        var found = campaign.Run(IsLong ? 2_000_000 : 20_000, kept);
        TestContext.Current.SendDiagnosticMessage("{0}: {1}", target, found);
        Assert.Null(hanging);
        Assert.True(found.Defects.Count == 0, string.Join('\n', found.Defects.Select(defect => $"{defect.Problem}\n  input {Convert.ToHexString(defect.Input)}")));
    }

    // The kept inputs are the point of it all: they reach more than the right ones that campaigns began with.
    [Theory]
    [MemberData(nameof(Readers))]
    public void The_kept_inputs_reach_much_more_than_the_right_ones(string target)
    {
        var (plan, run) = (Plans.Of(target), Instrumented.Open(target));
        new Campaign(plan, run, _map, seed: 1).Run(0, Corpus.Read(target)); // what runs but once, such as initializers
        var right = new Campaign(plan, run, _map, seed: 1).Run(0, []);
        var kept = new Campaign(plan, run, _map, seed: 1).Run(0, Corpus.Read(target));
        Assert.InRange(kept.Edges, right.Edges * 1.2, double.PositiveInfinity);
    }

    public void Dispose() => _map.Dispose();
}

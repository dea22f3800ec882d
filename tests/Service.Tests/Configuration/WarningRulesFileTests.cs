using System.Text.Json;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Configuration;

public sealed class WarningRulesFileTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    [Fact]
    public void The_shipped_file_holds_the_proposed_rules_and_so_does_no_file()
    {
        Assert.Empty(WarningRulesFile.Read(Path.Combine(Repository.Root, "config", "warnings.json"), out var shipped));
        Assert.Empty(WarningRulesFile.Read(_folder.File("nowhere.json"), out var none));
        var proposed = JsonSerializer.Serialize(WarningRules.Proposed, WarningRulesFile.Json);
        Assert.Equal(proposed, JsonSerializer.Serialize(shipped, WarningRulesFile.Json));
        Assert.Equal(proposed, JsonSerializer.Serialize(none, WarningRulesFile.Json));
    }

    [Theory]
    [InlineData("{ \"rules\": [ { \"type\": \"landing-count\", \"id\": \"a\", \"criteria\": [ { \"atLeast\": \"hard\", \"count\": 99 } ] } ] }", "rules[0].criteria[0].count: found '99'; allowed: 1 to 50.")]
    [InlineData("{ \"rules\": [ { \"type\": \"limit\", \"id\": \"A B\" } ] }", "rules[0].id: found ''A B''; allowed: 1 to 32 characters")]
    [InlineData("{ \"rules\": [ { \"type\": \"limit\", \"id\": \"a\", \"raiseShares\": 2 } ] }", "line 1, rules[0].raiseShares: found The JSON property 'raiseShares' could not be mapped")]
    [InlineData("{ \"rules\": [ { \"type\": \"guess\", \"id\": \"a\" } ] }", "line 1, rules[0]")]
    [InlineData("{ \"rules\": [ { \"id\": \"a\" } ] }", "rules[0]: found an object without its type; allowed: the type of each rule")]
    [InlineData("{ \"rules\": [ null ] }", "rules: found 'null'; allowed: objects with a type.")]
    [InlineData("{ \"landings\": { \"ankleCapG\": 0.5 } }", "landings.ankleCapG: found '0.5'; allowed: 1 to 400.")]
    [InlineData("{ \"sessionGapS\": 1 }", "sessionGapS: found '1'; allowed: 300 to 43200.")]
    public void A_wrong_file_says_place_found_and_allowed(string text, string message)
    {
        _folder.Write("warnings.json", text);
        var faults = WarningRulesFile.Read(_folder.File("warnings.json"), out _);
        Assert.Contains(faults, fault => fault.ToString().Contains(message, StringComparison.Ordinal));
    }

    [Fact]
    public void The_start_is_refused_with_a_wrong_rule()
    {
        foreach (var file in Directory.GetFiles(Path.Combine(Repository.Root, "config"), "*.json"))
        {
            File.Copy(file, _folder.File(Path.GetFileName(file)));
        }

        Assert.Empty(ConfigurationFolder.Load(_folder.Root, null, out var right));
        Assert.Equal(WarningRules.Proposed.Rules.Count, right!.Warnings.Rules.Count);
        _folder.Write("warnings.json", "{ \"floodWindowS\": 1 }");
        Assert.Contains("floodWindowS", Assert.Single(ConfigurationFolder.Load(_folder.Root, null, out var wrong)).ToString(), StringComparison.Ordinal);
        Assert.Null(wrong);
    }

    public void Dispose() => _folder.Dispose();
}

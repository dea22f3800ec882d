using System.Text.Json;
using Saltograph.Board.Records;
using Saltograph.Load;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.Warnings;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Screens;

/// <summary>Rules tried for the pages, as the HTTP interface tries them: on the rows that the onlooker may see.</summary>
internal sealed class StoredRuleTrial(WarningAnswers warnings, HallConfiguration configuration, TimeProvider time) : IRuleTrial, ICountedJumps
{
    /// <inheritdoc/>
    public WarningRules InUse => configuration.Warnings;

    /// <inheritdoc/>
    public FatigueOptions Fatigue => ChangeAnswers.FatigueOf(configuration.Warnings);

    /// <inheritdoc/>
    public AsymmetryRule Asymmetry => ChangeAnswers.AsymmetryOf(configuration.Warnings);

    /// <inheritdoc/>
    public double BaselineDays => ChangeAnswers.BaselineDays;

    /// <inheritdoc/>
    public CountedJump Of(JumpRow row) => CountedJumps.Of(row);

    /// <inheritdoc/>
    public string Text(WarningRules rules) => JsonSerializer.Serialize(rules, WarningRulesFile.Json);

    /// <inheritdoc/>
    public async Task<RuleTrial> TryAsync(WarningRules rules, int days, CancellationToken stop)
    {
        var now = HallClock.Now(time);
        var (run, jumps) = await warnings.TryAsync(rules, now.PlusSeconds(-days * 86_400.0), now, stop);
        return new(run.Rules, [.. run.Changes.Where(change => change.Cause == WarningCause.Raised).Reverse()], jumps, run.WatchedS / 3600);
    }
}

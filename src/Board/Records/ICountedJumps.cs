using Saltograph.Load;
using Saltograph.Store.Rows;

namespace Saltograph.Board.Records;

/// <summary>Reads stored jumps as load counts them, so that pages and warnings judge the same numbers.</summary>
public interface ICountedJumps
{
    /// <summary>The jump of a row with its record.</summary>
    CountedJump Of(JumpRow row);

    /// <summary>When a change inside a session counts as more than error.</summary>
    FatigueOptions Fatigue { get; }

    /// <summary>When a change of the sides counts as more than error.</summary>
    AsymmetryRule Asymmetry { get; }

    /// <summary>How far back trainings count as her own, days.</summary>
    double BaselineDays { get; }
}

/// <summary>What rules would have done with what is stored. Nothing is warned of, and nothing is kept.</summary>
public interface IRuleTrial
{
    /// <summary>The rules in use.</summary>
    WarningRules InUse { get; }

    /// <summary>Tries rules on the last days.</summary>
    /// <param name="rules">Rules without faults.</param>
    /// <param name="days">How many days, 1 to 28.</param>
    /// <param name="stop">Gives up.</param>
    Task<RuleTrial> TryAsync(WarningRules rules, int days, CancellationToken stop);

    /// <summary>The rules as the text of file <c>warnings.json</c>.</summary>
    string Text(WarningRules rules);
}

/// <summary>What some rules would have done.</summary>
/// <param name="Rules">One line a rule.</param>
/// <param name="Raised">What would have been raised, newest first.</param>
/// <param name="Jumps">Jumps in these days.</param>
/// <param name="WatchedHours">Time under watch, gymnast-hours.</param>
public sealed record RuleTrial(IReadOnlyList<RuleTally> Rules, IReadOnlyList<WarningChange> Raised, int Jumps, double WatchedHours);

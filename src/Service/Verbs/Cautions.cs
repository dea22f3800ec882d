namespace Saltograph.Service.Verbs;

/// <summary>What is said wherever results are shown.</summary>
internal static class Cautions
{
    /// <summary>One line.</summary>
    public const string Line =
        "Training information, not a medical device; it does not predict injury. Qualified staff decide, under the rules that hold where they work.";
}

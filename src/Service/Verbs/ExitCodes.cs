namespace Saltograph.Service.Verbs;

/// <summary>How a verb ends.</summary>
internal static class ExitCodes
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>The arguments and inputs were right, but it did not work.</summary>
    public const int Failed = 1;

    /// <summary>An argument, an input file or a configuration key is wrong; the message names it.</summary>
    public const int WrongUsage = 2;
}

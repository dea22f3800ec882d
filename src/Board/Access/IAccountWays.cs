namespace Saltograph.Board.Access;

/// <summary>How people sign in here.</summary>
public interface IAccountWays
{
    /// <summary>Whether nobody has to: everybody who reaches the service may look.</summary>
    bool IsOpen { get; }

    /// <summary>What the button of a provider says; null when there is none.</summary>
    string? ProviderLabel { get; }
}

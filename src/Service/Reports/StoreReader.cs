using Saltograph.Board.Access;

namespace Saltograph.Service.Reports;

/// <summary>Who makes a report from the files of the store, with no service between: nothing is kept from somebody who can read them.</summary>
internal sealed class StoreReader : IOnlooker
{
    /// <inheritdoc/>
    public string? Name => null;

    /// <inheritdoc/>
    public bool Sees(string athlete) => true;

    /// <inheritdoc/>
    public bool May(string right) => true;
}

namespace Saltograph.Board.Text;

/// <summary>
/// In which band below a straight line a split lies, as judges grade it. The bands differ between codes and change with them: check them against the current code of points.
/// </summary>
/// <param name="NearDeg">Up to this far below 180 deg is the first band, deg.</param>
/// <param name="FarDeg">Up to this far is the second band, deg; what is further is the third.</param>
public sealed record SplitBands(double NearDeg, double FarDeg)
{
    private const double StraightDeg = 180;

    /// <summary>Band of a split: 0 for a straight line and beyond, then 1 to 3.</summary>
    /// <param name="splitDeg">Split angle, deg.</param>
    public int Of(double splitDeg) => (StraightDeg - splitDeg) switch
    {
        <= 0 => 0,
        var below => below <= NearDeg ? 1 : below <= FarDeg ? 2 : 3,
    };

    /// <summary>Whether one standard uncertainty to either side leaves the band as it is.</summary>
    /// <param name="splitDeg">Split angle, deg.</param>
    /// <param name="uncertaintyDeg">Standard uncertainty, deg; null: nothing is known, and nothing is sure.</param>
    public bool IsSure(double splitDeg, double? uncertaintyDeg) =>
        uncertaintyDeg is { } u && Of(splitDeg - u) == Of(splitDeg + u);
}

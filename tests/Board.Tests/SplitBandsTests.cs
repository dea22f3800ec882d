using Saltograph.Board.Text;

namespace Saltograph.Board.Tests;

public sealed class SplitBandsTests
{
    private static readonly SplitBands Bands = new(10, 20);

    // Up to 10 deg below a straight line, 11 to 20, beyond (published bands of judging, values from memory: configuration).
    [Theory]
    [InlineData(191, 0)]
    [InlineData(180, 0)]
    [InlineData(179.9, 1)]
    [InlineData(170, 1)]
    [InlineData(169.9, 2)]
    [InlineData(160, 2)]
    [InlineData(159.9, 3)]
    public void A_split_lies_in_one_band(double splitDeg, int band) => Assert.Equal(band, Bands.Of(splitDeg));

    // 3 deg for each shank are 4.2 deg for the split, so that bands of 10 deg are at the limit (root of the sum of squares, by arithmetic).
    [Theory]
    [InlineData(175, 4.2, true)]
    [InlineData(172, 4.2, false)]
    [InlineData(178, 4.2, false)]
    [InlineData(150, 4.2, true)]
    [InlineData(175, null, false)]
    public void A_band_is_sure_when_the_uncertainty_does_not_reach_over_its_ends(double splitDeg, double? uncertaintyDeg, bool sure) =>
        Assert.Equal(sure, Bands.IsSure(splitDeg, uncertaintyDeg));
}

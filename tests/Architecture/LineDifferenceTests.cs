namespace Saltograph.Architecture;

public sealed class LineDifferenceTests
{
    [Theory]
    [InlineData("a b c", "a b c", "")]
    [InlineData("a b c", "a c", "- b")]
    [InlineData("a c", "a b c", "+ b")]
    [InlineData("a b c", "a x c", "- b|+ x")]
    [InlineData("a b", "b a", "- a|+ a")] // the same set of lines, in another order
    [InlineData("a }", "a } }", "+ }")] // the same set of lines, one of them once more
    [InlineData("", "a", "- |+ a")]
    public void Every_line_that_goes_or_comes_is_shown(string before, string after, string expected) =>
        Assert.Equal(expected, string.Join('|', LineDifference.Of(before.Split(' '), after.Split(' '))));
}

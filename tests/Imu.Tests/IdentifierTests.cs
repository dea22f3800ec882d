using System.Text.RegularExpressions;
using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>Ids as in topics: <c>[a-z0-9-]{1,32}</c>.</summary>
public sealed partial class IdentifierTests
{
    [Property]
    public void Any_text_is_an_id_exactly_if_the_pattern_says_so(string? text) =>
        Assert.Equal(text is not null && Pattern().IsMatch(text), IdText.IsValid(text));

    [Theory]
    [InlineData("a")]
    [InlineData("hall-1")]
    [InlineData("-")]
    [InlineData("0123456789abcdefghijklmnopqrstuv")]
    public void An_id_is_taken_and_given_back(string text)
    {
        Assert.Matches(Pattern(), text);
        Assert.Equal(text, new AthleteId(text).Value);
        Assert.Equal(text, new SensorId(text).ToString());
        Assert.Equal(text, new HallId(text).Value);
        Assert.Equal(new HallId(text), new HallId(text));
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("Hall")]
    [InlineData("hall 1")]
    [InlineData("hall/1")]
    [InlineData("hall+")]
    [InlineData("#")]
    [InlineData("anna.b")]
    [InlineData("\u00e4nne")]
    [InlineData("line\n")]
    [InlineData("0123456789abcdefghijklmnopqrstuvw")]
    public void Anything_else_is_refused_with_what_was_found_and_what_is_allowed(string? text)
    {
        Assert.False(IdText.IsValid(text));
        Action[] attempts = [() => _ = new AthleteId(text!), () => _ = new SensorId(text!), () => _ = new HallId(text!)];
        foreach (var attempt in attempts)
        {
            var refusal = Assert.Throws<ArgumentException>(attempt);
            Assert.Contains($"'{text}'", refusal.Message, StringComparison.Ordinal);
            Assert.Contains(IdText.Allowed, refusal.Message, StringComparison.Ordinal);
        }
    }

    [GeneratedRegex(@"\A[a-z0-9-]{1,32}\z", RegexOptions.None, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Pattern();
}

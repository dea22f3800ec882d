using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Wire.Tests;

public class Rfc3339Tests
{
    [Theory]
    // The five examples of RFC 3339 section 5.8 but for its leap seconds, which a clock that counts microseconds cannot hold.
    [InlineData("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520000Z")]
    [InlineData("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57.000000Z")]
    [InlineData("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870000Z")]
    [InlineData("2018-04-05t17:31:00z", "2018-04-05T17:31:00.000000Z")]
    [InlineData("2026-11-24T18:03:05.123456789Z", "2026-11-24T18:03:05.123456Z")]
    public void Any_offset_becomes_UTC(string text, string utc)
    {
        Assert.True(Rfc3339.TryParse(text, out var time));
        Assert.Equal(utc, Rfc3339.Text(time));
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("2018-04-05")]
    [InlineData("2018-04-05T17:31:00")]
    [InlineData("2018-04-05 17:31:00Z")]
    [InlineData("2018-04-05T17:31:00.Z")]
    [InlineData("2018-04-05T17:31:00+0100")]
    [InlineData("2018-13-05T17:31:00Z")]
    [InlineData("2018-04-05T03:56;24Z")]
    [InlineData("05 Apr 2018 17:31:00 GMT")]
    [InlineData("2018-04-05T17:31:00Z ")]
    public void Other_forms_are_refused(string? text) => Assert.False(Rfc3339.TryParse(text, out _));

    [Property]
    public void Text_of_any_time_reads_back_as_the_same_time(int high, int low)
    {
        var time = new SampleTime(((long)(high / 16) << 24) ^ low);
        Assert.True(Rfc3339.TryParse(Rfc3339.Text(time), out var back));
        Assert.Equal(time, back);
    }

    [Property]
    public void No_text_makes_parsing_throw(string text) => Assert.True(
        !Rfc3339.TryParse("2018-04-05T17:31:00" + text, out var time) || Rfc3339.TryParse(Rfc3339.Text(time), out _));
}

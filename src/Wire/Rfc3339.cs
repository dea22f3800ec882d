using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Wire;

/// <summary>Instants of the hall clock as RFC 3339 text, always UTC.</summary>
public static class Rfc3339
{
    private const string Format = "yyyy-MM-dd'T'HH:mm:ss.ffffff'Z'";

    /// <summary>Text with six decimals and Z, for instance 2026-11-24T18:03:05.250000Z.</summary>
    /// <param name="hallTime">Hall clock, within the years 1 to 9999.</param>
    public static string Text(SampleTime hallTime) =>
        DateTime.UnixEpoch.AddTicks(hallTime.Microseconds * TimeSpan.TicksPerMicrosecond).ToString(Format, CultureInfo.InvariantCulture);

    /// <summary>Reads an RFC 3339 time with any offset and any number of decimals; digits after the microsecond are dropped.</summary>
    public static bool TryParse(string? text, out SampleTime hallTime)
    {
        hallTime = default;
        if (text is null || !HasShape(text) || !DateTimeOffset.TryParse(
            text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var parsed))
        {
            return false;
        }

        hallTime = new((parsed.UtcDateTime - DateTime.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond);
        return true;
    }

    // The library reads more forms than RFC 3339 section 5.6 has: date T time, all digits there, offset given.
    private static bool HasShape(string text)
    {
        const int SecondsEnd = 19;
        if (text.Length <= SecondsEnd || text[10] is not ('T' or 't'))
        {
            return false;
        }

        for (var i = 0; i < SecondsEnd; i++)
        {
            var isRight = i switch
            {
                4 or 7 => text[i] == '-',
                10 => true,
                13 or 16 => text[i] == ':',
                _ => char.IsAsciiDigit(text[i]),
            };
            if (!isRight)
            {
                return false;
            }
        }

        var rest = text.AsSpan(SecondsEnd);
        if (rest[0] == '.')
        {
            var digits = rest[1..].IndexOfAnyExceptInRange('0', '9');
            if (digits < 1)
            {
                return false;
            }

            rest = rest[(digits + 1)..];
        }

        return rest is "Z" or "z"
            || (rest.Length == 6 && rest[0] is '+' or '-' && rest[3] == ':'
                && char.IsAsciiDigit(rest[1]) && char.IsAsciiDigit(rest[2]) && char.IsAsciiDigit(rest[4]) && char.IsAsciiDigit(rest[5]));
    }
}

using System.Globalization;

namespace Saltograph.Board.Text;

/// <summary>What the address of a page asks for. A fault says where, what was found and what is allowed; an empty place asks for nothing and is none.</summary>
public static class Asked
{
    /// <summary>Forms of jumps, in the order of lists.</summary>
    public static readonly IReadOnlyList<string> Forms = ["leap", "hop", "jump", "assemble", "sissonne"];

    // Weeks before a day and the day after it are reckoned with: at the ends of the calendar there are none.
    private static readonly DateOnly First = new(1900, 1, 1);
    private static readonly DateOnly Last = new(9000, 12, 31);

    /// <summary>A day; null when none is asked for, or none that is allowed.</summary>
    public static DateOnly? Day(string? text) =>
        IsDay(text, out var day) && day >= First && day <= Last ? day : null;

    /// <summary>What is wrong with a day.</summary>
    public static string? DayFault(Words words, string where, string? text, DateOnly today)
    {
        ArgumentNullException.ThrowIfNull(words);
        return string.IsNullOrEmpty(text) || Day(text) is not null
            ? null
            : words.Of("wrong.asked", where, text, IsDay(text, out _) ? words.Of("wrong.asked.days", HallTime.Iso(First), HallTime.Iso(Last)) : words.Of("wrong.asked.day", HallTime.Iso(today)));
    }

    /// <summary>What is wrong with one of some names.</summary>
    public static string? NameFault(Words words, string where, string? text, IReadOnlyList<string> names)
    {
        ArgumentNullException.ThrowIfNull(words);
        ArgumentNullException.ThrowIfNull(names);
        return string.IsNullOrEmpty(text) || names.Contains(text, StringComparer.Ordinal) ? null : words.Of("wrong.asked", where, text, names.Count == 0 ? words["wrong.asked.nothing"] : string.Join(", ", names));
    }

    private static bool IsDay(string? text, out DateOnly day) => DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out day);
}

using System.Globalization;
using Saltograph.Board.Text;
using Saltograph.Imu;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Api;

/// <summary>Reads the keys of a query and gathers every fault. A key that is not known is a fault: a filter with a slip of the pen must not return everything.</summary>
internal sealed class QueryReader
{
    /// <summary>Which days may be asked for, in words.</summary>
    public const string AllowedDay = "a day as yyyy-MM-dd, 1900-01-01 to 9000-12-31";

    private const string Offset = "an instant of RFC 3339 with its offset, such as 2027-01-15T08:00:00Z (a + in a query is written %2B)";

    private readonly IQueryCollection _query;
    private readonly Dictionary<string, QueryKey> _keys;
    private readonly List<ApiFault> _faults = [];

    /// <summary>Takes the query, and refuses keys that are not known or come twice.</summary>
    public QueryReader(IQueryCollection query, QueryKeys keys)
    {
        _query = query;
        _keys = keys.Keys.ToDictionary(key => key.Name, StringComparer.OrdinalIgnoreCase);
        foreach (var (name, values) in query)
        {
            if (!_keys.ContainsKey(name))
            {
                _faults.Add(new(name, "a key that is not known", _keys.Count == 0 ? "no key" : string.Join(", ", _keys.Keys)));
            }
            else if (values.Count > 1)
            {
                _faults.Add(new(name, $"{values.Count} values", "one"));
            }
        }
    }

    /// <summary>Every fault so far.</summary>
    public IReadOnlyList<ApiFault> Faults => _faults;

    /// <summary>A further fault.</summary>
    public void Refuse(ApiFault fault) => _faults.Add(fault);

    /// <summary>Text, an id, a word or a day; null when it is not there or refused.</summary>
    public string? Text(string name)
    {
        var (key, value) = Find(name);
        if (value is null)
        {
            return null;
        }

        return key.Kind switch
        {
            QueryKind.Id => Checked(name, value, IdText.IsValid(value), IdText.Allowed),
            QueryKind.Word => Checked(name, value, key.Words.Contains(value, StringComparer.Ordinal), string.Join(", ", key.Words)),
            QueryKind.Day => Checked(name, value, IsDay(value), AllowedDay),
            _ => Checked(name, value, value.Length is > 0 and <= 200, "1 to 200 characters"),
        };
    }

    /// <summary>A number; null when it is not there or refused.</summary>
    public double? Number(string name)
    {
        var (key, value) = Find(name);
        var allowed = key.Kind == QueryKind.Whole ? "a whole number" : "a number";
        allowed += string.Create(CultureInfo.InvariantCulture, $", {key.Least} to {key.Largest}");
        if (value is null)
        {
            return null;
        }

        var isRead = double.TryParse(value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number)
            && double.IsFinite(number)
            && number >= key.Least
            && number <= key.Largest
            && (key.Kind != QueryKind.Whole || Math.Floor(number) == number);
        return Checked(name, value, isRead, allowed) is null ? null : number;
    }

    /// <summary>An instant, us since 1970; null when it is not there or refused.</summary>
    public long? TimeUs(string name)
    {
        var (_, value) = Find(name);
        if (value is null)
        {
            return null;
        }

        var isRead = TryTime(value, out var us);
        return Checked(name, value, isRead, Offset) is null ? null : us;
    }

    /// <summary>Reads an instant with an offset, us since 1970.</summary>
    public static bool TryTime(string text, out long us)
    {
        us = 0;
        var hasOffset = text.EndsWith('Z') || (text.Length > 6 && text[^6] is '+' or '-' && text[^3] == ':');
        if (!hasOffset || !DateTimeOffset.TryParseExact(
            text, ["yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK"], CultureInfo.InvariantCulture, DateTimeStyles.None, out var instant))
        {
            return false;
        }

        us = HallClock.Of(instant).Microseconds;
        return true;
    }

    /// <summary>Whether a text is a day.</summary>
    public static bool IsDay(string text) => Asked.Day(text) is not null;

    private (QueryKey Key, string? Value) Find(string name) =>
        (_keys[name], _query.TryGetValue(name, out var values) && values.Count > 0 ? values[0] : null);

    private string? Checked(string name, string value, bool isAllowed, string allowed)
    {
        if (!isAllowed)
        {
            _faults.Add(new(name, $"'{(value.Length > 80 ? value[..80] + "..." : value)}'", allowed));
        }

        return isAllowed ? value : null;
    }
}

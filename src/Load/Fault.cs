using System.Globalization;

namespace Saltograph.Load;

/// <summary>What is wrong with a setting, an entry or a command.</summary>
/// <param name="Where">Key or argument, such as <c>rules[2].count</c>.</param>
/// <param name="Found">What was found.</param>
/// <param name="Allowed">What is allowed.</param>
public sealed record Fault(string Where, string Found, string Allowed)
{
    /// <inheritdoc/>
    public override string ToString() => $"{Where} is {Found}; allowed: {Allowed}.";
}

/// <summary>Gathers faults.</summary>
internal sealed class FaultList(string where)
{
    private readonly List<Fault> _faults = [];

    public IReadOnlyList<Fault> Faults => _faults;

    public void Number(double? value, double least, double largest, string key)
    {
        if (value is { } number && !(number >= least && number <= largest))
        {
            Add(key, Text(number), string.Create(CultureInfo.InvariantCulture, $"{least} to {largest}"));
        }
    }

    public void Add(string key, string found, string allowed) => _faults.Add(new($"{where}{key}", found, allowed));

    public void AddAll(IEnumerable<Fault> faults) => _faults.AddRange(faults);

    public static string Text(double value) => value.ToString(CultureInfo.InvariantCulture);

    /// <summary>Refuses with the first fault.</summary>
    public void Throw()
    {
        if (_faults.Count > 0)
        {
            throw new ArgumentException(string.Join(' ', _faults));
        }
    }
}

using System.Globalization;
using Saltograph.Board.Records;
using Saltograph.Board.Text;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Reports;

/// <summary>A stored jump with its record read.</summary>
/// <param name="Row">As stored.</param>
/// <param name="Sheet">Its record.</param>
internal sealed record ReportedJump(JumpRow Row, JumpSheet Sheet)
{
    /// <summary>Whether the landing was hard among her own, or at a sensor's rail.</summary>
    public bool IsHard => Row.LandingClass is "hard" or "saturated";

    /// <summary>The address of the jump in the HTTP interface.</summary>
    public string Address => "/api/v1/jumps/" + Uri.EscapeDataString(Row.Id);
}

/// <summary>Jumps that one question to the HTTP interface answers, with figures that cite it.</summary>
/// <param name="Address">The question, <c>/api/v1/jumps?…</c>.</param>
/// <param name="Jumps">Its answer, oldest first.</param>
internal sealed record JumpGroup(string Address, IReadOnlyList<ReportedJump> Jumps)
{
    /// <summary>Those of one value of a key that the interface narrows by.</summary>
    public JumpGroup Where(string key, string value, Func<JumpRow, bool> which) =>
        new(string.Create(CultureInfo.InvariantCulture, $"{Address}&{key}={value}"), [.. Jumps.Where(jump => which(jump.Row))]);

    /// <summary>How many.</summary>
    public string Count() => Cited.Count(Jumps.Count, "count", Cited.From(Address));

    /// <summary>The middle value of a measure; a dash when none has it.</summary>
    public string Median(Measure measure) => Figure(measure, "median:", values => (values[(values.Count - 1) / 2] + values[values.Count / 2]) / 2);

    /// <summary>The largest value of a measure; a dash when none has it.</summary>
    public string Best(Measure measure) => Figure(measure, "max:", values => values[^1]);

    /// <summary>Jumps with the largest values of a measure, largest first; of equal ones the earlier.</summary>
    public IEnumerable<ReportedJump> Largest(Measure measure, int count) =>
        Jumps.Where(jump => jump.Sheet.Number(measure.Key) is not null).OrderByDescending(jump => jump.Sheet.Number(measure.Key)).Take(count);

    private string Figure(Measure measure, string take, Func<List<double>, double> of)
    {
        var sorted = Jumps.Select(jump => jump.Sheet.Number(measure.Key)).OfType<double>().Order().ToList();
        if (sorted.Count == 0)
        {
            return Cited.Dash;
        }

        var value = of(sorted);
        return Cited.Number(value, take + Cited.Pointer(measure.Key), measure.Text(value), measure.Factor, Cited.From(Address));
    }
}

using System.Globalization;
using Saltograph.Comparison;
using Saltograph.Service.Verbs;
using Spectre.Console;

namespace Saltograph.Service.Results.Comparing;

/// <summary>A comparison on the terminal.</summary>
internal static class ComparisonTable
{
    /// <summary>Table, what differs most, and what to keep in mind.</summary>
    public static void Show(Terminal terminal, ComparedFile a, ComparedFile b, JumpComparison comparison, ComparedCurves curves)
    {
        var console = terminal.Ansi();
        console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"A {a.Path}: {Count(comparison.CountA, "jump")}, {Count(comparison.AthletesA, "gymnast")}"));
        console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"B {b.Path}: {Count(comparison.CountB, "jump")}, {Count(comparison.AthletesB, "gymnast")}"));
        var table = new Table().RoundedBorder();
        foreach (var heading in new[] { "measure", "unit", "A mean (n)", "B mean (n)", "B - A", "std. unc.", "95 % interval", "detectable", "g", "verdict" })
        {
            table.AddColumn(new TableColumn(heading) { NoWrap = heading != "measure" });
        }

        foreach (var compared in comparison.Measures.Where(each => each.Verdict != Verdict.NotMeasured))
        {
            table.AddRow(
                Markup.Escape(compared.Measure.Name), ComparisonWords.Unit(compared.Measure), compared.Group(compared.A), compared.Group(compared.B), compared.Difference(),
                compared.Uncertainty(), compared.Interval(), compared.Change(), compared.Effect(), compared.Verdict.ShortText());
        }

        console.Write(table);
        Lines(console, comparison);
        if (curves.Found.Count > 0)
        {
            console.WriteLine("Curves, B against A, beyond the detectable change:");
            foreach (var sentence in curves.Sentences().DefaultIfEmpty("nowhere"))
            {
                console.WriteLine("  " + sentence);
            }

            console.WriteLine(ComparedCurves.ByNode);
        }
    }

    private static void Lines(IAnsiConsole console, JumpComparison comparison)
    {
        var missing = comparison.Measures.Where(each => each.Verdict == Verdict.NotMeasured).Select(each => each.Measure.Name).ToList();
        if (missing.Count > 0)
        {
            console.WriteLine($"Not measured on both sides: {string.Join(", ", missing)}.");
        }

        if (comparison.Measures.Any(each => each.IsBound))
        {
            console.WriteLine("* with values at a sensor's rail: these are at least so large.");
        }

        console.WriteLine(comparison.MostDifferent.Count == 0 ? "B against A: no change can be told." : "B against A, most of all first:");
        foreach (var compared in comparison.MostDifferent)
        {
            console.WriteLine("  " + compared.Sentence());
        }

        console.WriteLine(ComparisonWords.Basis);
        console.WriteLine(ComparisonWords.ByChance);
        if (comparison.MixesAthletes)
        {
            console.WriteLine(ComparisonWords.Mixed);
        }
    }

    private static string Count(int count, string what) => string.Create(CultureInfo.InvariantCulture, $"{count} {what}{(count == 1 ? "" : "s")}");
}

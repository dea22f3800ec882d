using System.Globalization;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.WebUtilities;
using Saltograph.Board.Records;
using Saltograph.Board.Text;
using Saltograph.Comparison;
using Saltograph.Store.Rows;

namespace Saltograph.Board.Pages;

/// <summary>Two jumps, or two groups, side by side and overlaid.</summary>
public sealed partial class ComparePage
{
    private const int MostRemarks = 4;
    private IReadOnlyList<string> _athletes = [];
    private StoredComparison? _found;
    private List<(string Text, string Address)> _ideas = [];
    private List<string> _faults = [];

    [SupplyParameterFromQuery] private string? View { get; set; }

    [SupplyParameterFromQuery] private string? AJump { get; set; }

    [SupplyParameterFromQuery] private string? AAthlete { get; set; }

    [SupplyParameterFromQuery] private string? AForm { get; set; }

    [SupplyParameterFromQuery] private string? AFrom { get; set; }

    [SupplyParameterFromQuery] private string? ATo { get; set; }

    [SupplyParameterFromQuery] private string? BJump { get; set; }

    [SupplyParameterFromQuery] private string? BAthlete { get; set; }

    [SupplyParameterFromQuery] private string? BForm { get; set; }

    [SupplyParameterFromQuery] private string? BFrom { get; set; }

    [SupplyParameterFromQuery] private string? BTo { get; set; }

    private Entered A => new(AJump, AAthlete, AForm, AFrom, ATo);

    private Entered B => new(BJump, BAthlete, BForm, BFrom, BTo);

    private bool IsSide => View == "side";

    private string Missing => string.Join(", ", _found!.Measures.Measures.Where(each => each.Verdict == Verdict.NotMeasured).Select(each => Name(each.Measure).ToLowerInvariant()));

    private string Question => QueryString(Pairs("a", ChoiceOf(A)).Concat(Pairs("b", ChoiceOf(B))));

    private sealed record Entered(string? Jump, string? Athlete, string? Form, string? From, string? To)
    {
        public IEnumerable<KeyValuePair<string, string?>> Pairs(string side) =>
            [new(side + "Jump", Jump), new(side + "Athlete", Athlete), new(side + "Form", Form), new(side + "From", From), new(side + "To", To)];
    }

    /// <inheritdoc/>
    protected override async Task OnInitializedAsync()
    {
        _athletes = await Store.Sessions.AthletesAsync();
        _faults = [.. FaultsOf("a", A).Concat(FaultsOf("b", B))];
        if (_faults.Count > 0)
        {
            return;
        }

        var (a, b) = (ChoiceOf(A), ChoiceOf(B));
        if (a.IsEmpty && b.IsEmpty)
        {
            _ideas = [.. _athletes.Select(Idea)];
            return;
        }

        _found = await StoredComparison.OfAsync(Store, Courses, a, b, CancellationToken.None);
        if (_found is { A.Jumps: [], B.Jumps: [var (chosen, _)] } && a.IsEmpty && b.Jump is not null)
        {
            _ideas = [.. IdeasFor(chosen)];
        }
    }

    private static string QueryString(IEnumerable<KeyValuePair<string, string?>> pairs) => QueryHelpers.AddQueryString("", pairs.Where(pair => !string.IsNullOrEmpty(pair.Value))).TrimStart('?');

    private static string? Kept(string? text) => string.IsNullOrWhiteSpace(text) ? null : text;

    private static IEnumerable<KeyValuePair<string, string?>> Pairs(string side, JumpChoice choice) =>
    [
        new(side + "Jump", choice.Jump), new(side + "Athlete", choice.Athlete), new(side + "Form", choice.Form),
        new(side + "From", Instant(choice.FromUs)), new(side + "Before", Instant(choice.BeforeUs)),
    ];

    private static string? Instant(long? us) => us is { } known ? DateTimeOffset.UnixEpoch.AddTicks(known * 10).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture) : null;

    private static string Unit(Saltograph.Comparison.Measure measure) => RemarkWords.Shown(measure).Unit;

    private JumpChoice ChoiceOf(Entered entered) => Kept(entered.Jump) is { } jump ? new() { Jump = jump } : new()
    {
        Athlete = Kept(entered.Athlete),
        Form = Kept(entered.Form),
        FromUs = Asked.Day(entered.From) is { } first ? Hall.BeginsUs(first) : null,
        BeforeUs = Asked.Day(entered.To) is { } last ? Hall.BeginsUs(last.AddDays(1)) : null,
    };

    private IEnumerable<string> FaultsOf(string side, Entered entered)
    {
        string Where(string key) => $"{W[$"compare.side.{side}"]}, {W[key]}";
        return entered.Jump is { Length: > 0 } ? [] : new[]
        {
            Asked.NameFault(W, Where("filter.athlete"), entered.Athlete, _athletes),
            Asked.NameFault(W, Where("filter.form"), entered.Form, Asked.Forms),
            Asked.DayFault(W, Where("compare.from"), entered.From, Hall.Today),
            Asked.DayFault(W, Where("compare.to"), entered.To, Hall.Today),
        }.OfType<string>();
    }

    // What is asked most: her last seven days against the four weeks before.
    private (string Text, string Address) Idea(string athlete)
    {
        var today = Hall.Today;
        return (W.Of("compare.idea", athlete), "/compare?" + QueryString(
            new Entered(null, athlete, null, HallTime.Iso(today.AddDays(-34)), HallTime.Iso(today.AddDays(-7))).Pairs("a")
                .Concat(new Entered(null, athlete, null, HallTime.Iso(today.AddDays(-6)), HallTime.Iso(today)).Pairs("b"))));
    }

    // What one jump is held against: hers like it, the last of them before it, all of hers.
    private IEnumerable<(string Text, string Address)> IdeasFor(JumpRow jump)
    {
        var day = HallTime.Iso(Hall.Day(jump.LandingUs));
        var like = new Entered(null, jump.Athlete, jump.Form, null, null);
        return new[] { (jump.Form is null ? "" : "compare.idea.like", like), ("compare.idea.day", like with { From = day, To = day }), ("compare.idea.all", like with { Form = null }) }
            .Where(idea => idea.Item1.Length > 0).Select(idea => (W.Of(idea.Item1, jump.Athlete), "/compare?" + QueryString(idea.Item2.Pairs("a").Concat(B.Pairs("b")))));
    }

    private string Address(bool swapped, bool side) => "/compare?" + QueryString(
        (swapped ? B : A).Pairs("a").Concat((swapped ? A : B).Pairs("b")).Append(new("view", side ? "side" : null)));

    // The one jump gives way to all of her like it.
    private string Without(string side)
    {
        var row = (side == "a" ? _found!.A : _found!.B).Jumps is [var first, ..] ? first.Row : null;
        var group = new Entered(null, row?.Athlete, row?.Form, null, null);
        return "/compare?" + QueryString((side == "a" ? group : A).Pairs("a").Concat((side == "b" ? group : B).Pairs("b")));
    }

    private string Named(string side) => (side == "a" ? _found?.A : _found?.B)?.Jumps is [var (row, _), ..]
        ? W.Of("jump.title", row.Athlete, Hall.DayClock(row.LandingUs))
        : W["jump.missing"];

    private string Side(ComparedSide side, string letter) => W.Of(
        "compare.sideis", W[$"compare.side.{letter}"], side.Jumps.Count, string.Join(", ", side.Jumps.Select(jump => jump.Row.Athlete).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)));

    private string Name(Saltograph.Comparison.Measure measure) => W[$"measure.{measure.Key}"];

    private string Say(Remark remark) => RemarkWords.Say(W, remark);

    private string Shown(MeasureComparison found, double? value) => value is { } known ? RemarkWords.Text(found.Measure, known) : W["value.dash"];

    private static string WithSign(MeasureComparison found, double value) => RemarkWords.WithSign(found.Measure, value);

    private string Group(MeasureComparison found, GroupStatistics group) => string.Create(
        CultureInfo.InvariantCulture, $"{(group.AtLeast > 0 ? "≥ " : "")}{Shown(found, group.Mean)}{(group.StandardDeviation is { } deviation ? $" ± {Shown(found, deviation)}" : "")} ({group.Count})");
}

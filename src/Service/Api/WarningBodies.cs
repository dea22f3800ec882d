using System.Text.Json;
using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.Api;

/// <summary>A warning as it stands.</summary>
/// <param name="Id">Id.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Rule">The rule.</param>
/// <param name="Channel"><c>landing</c>, <c>overload</c>, <c>advice</c> (no alarm) or <c>sensor</c>.</param>
/// <param name="Priority"><c>low</c>, <c>medium</c> or <c>high</c>.</param>
/// <param name="State"><c>active-unacknowledged</c>, <c>acknowledged</c>, <c>returned-unacknowledged</c>, <c>shelved</c>, <c>out-of-service</c> or <c>normal</c>.</param>
/// <param name="Open">Whether somebody has still to do something with it.</param>
/// <param name="Raised">When it was raised, RFC 3339.</param>
/// <param name="Changed">Its last change.</param>
/// <param name="ShelvedUntil">End of its shelving; null when not shelved.</param>
/// <param name="LastChange">The last change as its event tells it: subject, text, found, limit, jumps, who, why ...</param>
internal sealed record WarningBody(
    string Id, string Athlete, string Rule, string Channel, string Priority, string State, bool Open, string Raised, string Changed, string? ShelvedUntil, JsonElement LastChange)
{
    /// <summary>From a row.</summary>
    public static WarningBody Of(WarningRow row) => new(
        row.Id,
        row.Athlete,
        row.Rule,
        row.Channel,
        row.Priority,
        row.State,
        row.Active,
        Rfc3339.Text(new(row.RaisedUs)),
        Rfc3339.Text(new(row.ChangedUs)),
        row.ShelvedUntilUs is { } until ? Rfc3339.Text(new(until)) : null,
        JsonElement.Parse(row.Detail));
}

/// <summary>Some warnings.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="Warnings">The warnings.</param>
internal sealed record WarningsBody(string Caution, IReadOnlyList<WarningBody> Warnings);

/// <summary>A change of a warning.</summary>
/// <param name="Number">Running number, from 1.</param>
/// <param name="Time">When, RFC 3339.</param>
/// <param name="State">The state afterwards.</param>
/// <param name="Who">Who did it; null when the rule did.</param>
/// <param name="Why">The reason that was given.</param>
internal sealed record WarningChangeBody(long Number, string Time, string State, string? Who, string? Why)
{
    /// <summary>From a row.</summary>
    public static WarningChangeBody Of(WarningChangeRow row) => new(row.Number, Rfc3339.Text(new(row.AtUs)), row.State, row.Who, row.Why);
}

/// <summary>A warning with its history.</summary>
/// <param name="Warning">As it stands.</param>
/// <param name="History">Its changes, oldest first.</param>
internal sealed record WarningHistoryBody(WarningBody Warning, IReadOnlyList<WarningChangeBody> History);

/// <summary>An answer of staff.</summary>
/// <param name="Who">Pseudonym of the member of staff: 1 to 32 characters a-z, 0-9 or -.</param>
/// <param name="Why">What was done or why, 1 to 500 characters. No names.</param>
internal sealed record StaffEntry(string Who, string Why);

/// <summary>A shelving.</summary>
/// <param name="Who">Pseudonym of the member of staff.</param>
/// <param name="Why">Why, 1 to 500 characters. No names.</param>
/// <param name="Until">Its end, RFC 3339 with offset; after now, within the longest shelving of the rules.</param>
internal sealed record ShelfEntry(string Who, string Why, string Until);

/// <summary>A rule is taken out of service, or put back.</summary>
/// <param name="Athlete">For whom, by pseudonym.</param>
/// <param name="Who">Pseudonym of the member of staff.</param>
/// <param name="Why">Why, 1 to 500 characters. No names.</param>
internal sealed record ServiceEntry(string Athlete, string Who, string Why);

/// <summary>A rule out of service.</summary>
/// <param name="Rule">The rule.</param>
/// <param name="Athlete">For whom.</param>
internal sealed record SilencedRule(string Rule, string Athlete);

/// <summary>The rules.</summary>
/// <param name="Rules">As in the file <c>warnings.json</c>.</param>
/// <param name="OutOfService">What is out of service.</param>
internal sealed record RulesBody(JsonElement Rules, IReadOnlyList<SilencedRule> OutOfService);

/// <summary>How often one rule would have warned.</summary>
/// <param name="Rule">The rule.</param>
/// <param name="Channel">Its channel.</param>
/// <param name="Raised">How often a condition began.</param>
/// <param name="Athletes">Athletes concerned.</param>
internal sealed record DryRunLine(string Rule, string Channel, int Raised, int Athletes);

/// <summary>How often the rules would have warned.</summary>
/// <param name="From">Begin, RFC 3339.</param>
/// <param name="Before">End.</param>
/// <param name="WatchedHours">Sum over athletes of first to last landing of each training, h.</param>
/// <param name="LandingPerAthleteHour">Warnings about landings for each of them; null without such time.</param>
/// <param name="Rules">By rule.</param>
/// <param name="LeftOut">Rules that were not tried: those of sensors.</param>
/// <param name="LeftOutReason">Why; null when none was left out.</param>
internal sealed record DryRunBody(
    string From, string Before, double WatchedHours, double? LandingPerAthleteHour, IReadOnlyList<DryRunLine> Rules, IReadOnlyList<string> LeftOut, string? LeftOutReason)
{
    /// <summary>Why rules of sensors are not tried.</summary>
    public const string SensorsReason = "Rules of sensors were not tried: what a sensor says of its battery is not kept, and of its other figures not every one for as long as jumps are.";
}

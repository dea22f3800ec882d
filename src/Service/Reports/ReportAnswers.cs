using Microsoft.AspNetCore.WebUtilities;
using Saltograph.Board.Access;
using Saltograph.Board.Records;
using Saltograph.Board.Text;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Store;
using Saltograph.Wire;

namespace Saltograph.Service.Reports;

/// <summary>Makes reports: each one page of HTML that needs nothing else.</summary>
internal sealed class ReportAnswers
{
    private readonly ReportSources _sources;
    private readonly HallConfiguration _configuration;
    private readonly IJumpCourses _courses;

    /// <summary>Prepares.</summary>
    public ReportAnswers(HallView store, LoadAnswers load, ChangeAnswers change, IJumpCourses courses, HallTime time, Words words, HallConfiguration configuration, IOnlooker onlooker)
    {
        _sources = new(store, load, change, time, words, onlooker.May(Rights.LookAtWarnings));
        _courses = courses;
        _configuration = configuration;
    }

    /// <summary>Today in the hall.</summary>
    public DateOnly Today => _sources.Time.Today;

    /// <summary>Midnight at which a day of the hall begins, us since 1970.</summary>
    public long BeginsUs(DateOnly day) => _sources.Time.BeginsUs(day);

    /// <summary>A training; null when there is none.</summary>
    public Task<string?> SessionAsync(string? session, string? athlete, CancellationToken stop) => new SessionReport(_sources).TextAsync(session, athlete, stop);

    /// <summary>Four weeks of an athlete.</summary>
    public Task<string> MonthAsync(string athlete, DateOnly last, CancellationToken stop) => new MonthReport(_sources).TextAsync(athlete, last, stop);

    /// <summary>Seven days of the squad.</summary>
    public Task<string> WeekAsync(DateOnly last, CancellationToken stop) => new WeekReport(_sources).TextAsync(last, stop);

    /// <summary>Compares two jumps or two groups.</summary>
    public Task<StoredComparison> CompareAsync(JumpChoice a, JumpChoice b, CancellationToken stop) => StoredComparison.OfAsync(_sources.Store, _courses, a, b, stop);

    /// <summary>The report of a comparison whose sides both have jumps.</summary>
    public string Comparison(StoredComparison found, JumpChoice a, JumpChoice b) => new ComparisonReport(_sources).Text(found, Question(a, b));

    /// <summary>The sheet for a guardian.</summary>
    public Task<string> GuardianAsync(string athlete, CancellationToken stop) => new GuardianSheet(_sources, _configuration).TextAsync(athlete, stop);

    /// <summary>Whether the store knows an athlete.</summary>
    public async Task<bool> KnowsAsync(string athlete, CancellationToken stop) =>
        await _sources.Store.SeesAsync(athlete, stop)
        && ((await _sources.Store.Sessions.AthletesAsync(stop)).Contains(athlete, StringComparer.Ordinal) || _configuration.Roster.Sensors.Any(sensor => sensor.Athlete == athlete));

    private static string Question(JumpChoice a, JumpChoice b) =>
        QueryHelpers.AddQueryString("", Pairs("a", a).Concat(Pairs("b", b)).Where(pair => pair.Value is not null)).TrimStart('?');

    private static IEnumerable<KeyValuePair<string, string?>> Pairs(string side, JumpChoice choice) =>
    [
        new(side + "Jump", choice.Jump), new(side + "Athlete", choice.Athlete), new(side + "Form", choice.Form), new(side + "Session", choice.Session),
        new(side + "From", choice.FromUs is { } from ? Rfc3339.Text(new(from)) : null), new(side + "Before", choice.BeforeUs is { } before ? Rfc3339.Text(new(before)) : null),
    ];
}

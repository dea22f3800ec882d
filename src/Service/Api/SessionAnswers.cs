using Saltograph.Imu;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.Api;

/// <summary>A training of one athlete.</summary>
/// <param name="Id">Id.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Opened">Begin, RFC 3339.</param>
/// <param name="OpenedBy">Who opened it, or <c>activity</c>.</param>
/// <param name="Closed">End; null while it runs.</param>
/// <param name="ClosedBy">Who closed it, or <c>activity</c>.</param>
/// <param name="Kind"><c>class</c>, <c>apparatus</c> or <c>run-through</c>.</param>
/// <param name="Apparatus">Apparatus; null when none was entered.</param>
/// <param name="Notes">Notes; null for none.</param>
/// <param name="Exertion">Perceived exertion, 0 to 10; null when not entered.</param>
/// <param name="Minutes">Minutes that the exertion counts for; null: from open to close.</param>
internal sealed record SessionBody(
    string Id,
    string Athlete,
    string Opened,
    string OpenedBy,
    string? Closed,
    string? ClosedBy,
    string Kind,
    string? Apparatus,
    string? Notes,
    double? Exertion,
    double? Minutes)
{
    /// <summary>From a row.</summary>
    public static SessionBody Of(SessionRow row) => new(
        row.Id,
        row.Athlete,
        Rfc3339.Text(new(row.OpenedUs)),
        row.OpenedBy,
        row.ClosedUs is { } closed ? Rfc3339.Text(new(closed)) : null,
        row.ClosedBy,
        row.Kind,
        row.Apparatus,
        row.Notes,
        row.Exertion,
        row.Minutes);
}

/// <summary>A training that begins.</summary>
/// <param name="Athlete">Whose, by pseudonym; of the roster.</param>
/// <param name="Who">Pseudonym of the member of staff: 1 to 32 characters a-z, 0-9 or -.</param>
/// <param name="Kind"><c>class</c> (default), <c>apparatus</c> or <c>run-through</c>.</param>
/// <param name="Apparatus"><c>rope</c>, <c>hoop</c>, <c>ball</c>, <c>clubs</c> or <c>ribbon</c>; absent for none.</param>
/// <param name="Notes">Up to 2000 characters; no names.</param>
/// <param name="Exertion">Perceived exertion, 0 to 10.</param>
/// <param name="Minutes">Minutes that it counts for, above 0 to 600; absent: from open to close.</param>
internal sealed record SessionBegin(string Athlete, string Who, string? Kind = null, string? Apparatus = null, string? Notes = null, double? Exertion = null, double? Minutes = null)
{
    /// <summary>What is entered.</summary>
    public SessionEntry Entry() => new() { Kind = Kind ?? SessionRow.ClassKind, Apparatus = Apparatus, Notes = Notes, Exertion = Exertion, Minutes = Minutes };
}

/// <summary>What staff enter about a training.</summary>
/// <param name="Who">Pseudonym of the member of staff.</param>
/// <param name="Kind"><c>class</c> (default), <c>apparatus</c> or <c>run-through</c>.</param>
/// <param name="Apparatus">Apparatus; absent for none.</param>
/// <param name="Notes">Up to 2000 characters; no names.</param>
/// <param name="Exertion">Perceived exertion, 0 to 10.</param>
/// <param name="Minutes">Minutes that it counts for, above 0 to 600; absent: from open to close.</param>
internal sealed record SessionNote(string Who, string? Kind = null, string? Apparatus = null, string? Notes = null, double? Exertion = null, double? Minutes = null)
{
    /// <summary>What is entered.</summary>
    public SessionEntry Entry() => new() { Kind = Kind ?? SessionRow.ClassKind, Apparatus = Apparatus, Notes = Notes, Exertion = Exertion, Minutes = Minutes };
}

/// <summary>The end of a training.</summary>
/// <param name="Who">Pseudonym of the member of staff.</param>
internal sealed record SessionEnd(string Who);

/// <summary>Some trainings.</summary>
/// <param name="Sessions">In the order of their begin.</param>
internal sealed record SessionsBody(IReadOnlyList<SessionBody> Sessions);

/// <summary>The athletes that the store knows.</summary>
/// <param name="Athletes">Pseudonyms in order.</param>
internal sealed record AthletesBody(IReadOnlyList<string> Athletes);

/// <summary>Answers questions for trainings and athletes.</summary>
internal sealed class SessionAnswers(HallView store)
{
    /// <summary>Trainings that overlap a stretch of time.</summary>
    public async Task<SessionsBody> OverlappingAsync(string? athlete, SampleTime from, SampleTime before, CancellationToken stop) =>
        new([.. (await store.Sessions.OverlappingAsync(athlete, from.Microseconds, before.Microseconds, stop)).Select(SessionBody.Of)]);

    /// <summary>One training; null when there is none.</summary>
    public async Task<SessionBody?> FindAsync(string id, CancellationToken stop) => await store.Sessions.FindAsync(id, stop) is { } row ? SessionBody.Of(row) : null;

    /// <summary>The athletes.</summary>
    public async Task<AthletesBody> AthletesAsync(CancellationToken stop) => new(await store.Sessions.AthletesAsync(stop));
}

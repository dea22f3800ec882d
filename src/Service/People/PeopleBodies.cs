using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.People;

/// <summary>Somebody who may sign in.</summary>
/// <param name="Person">Name for signing in, chosen; no real name.</param>
/// <param name="Roles"><c>coach</c>, <c>medical</c>, <c>analyst</c>, <c>administrator</c>, <c>guardian-read</c>.</param>
/// <param name="Active">Whether the person may sign in.</param>
/// <param name="HasPassword">Whether a password was set.</param>
/// <param name="Subject">Subject at the provider of OpenID Connect; null for none.</param>
/// <param name="RestsUntil">Until when no password is tried, RFC 3339; null when it is.</param>
/// <param name="Athletes">Pseudonyms of those whose data the person sees.</param>
internal sealed record PersonBody(
    string Person, IReadOnlyList<string> Roles, bool Active, bool HasPassword, string? Subject, string? RestsUntil, IReadOnlyList<string> Athletes)
{
    /// <summary>From a row.</summary>
    public static PersonBody Of(PersonRow row, PeopleBook book) => new(
        row.Id,
        People.Roles.Split(row.Roles),
        row.Active,
        row.PasswordHash is not null,
        row.Subject,
        row.LockedUntilUs is { } until ? Rfc3339.Text(new(until)) : null,
        [.. book.AthletesOf(row.Id)]);
}

/// <summary>Everybody.</summary>
/// <param name="People">By name.</param>
internal sealed record PeopleBody(IReadOnlyList<PersonBody> People);

/// <summary>A person to be entered.</summary>
/// <param name="Roles">At least none: <c>coach</c>, <c>medical</c>, <c>analyst</c>, <c>administrator</c>, <c>guardian-read</c>.</param>
/// <param name="Active">Whether the person may sign in; default true. False ends sessions and tokens.</param>
/// <param name="Subject">Subject at the provider of OpenID Connect; default none.</param>
internal sealed record PersonEntry(IReadOnlyList<string> Roles, bool Active = true, string? Subject = null);

/// <summary>A one-time link. It is shown this once.</summary>
/// <param name="Link">Place on this service; the code stands behind the #.</param>
/// <param name="Hours">How long it is good.</param>
internal sealed record LinkBody(string Link, int Hours);

/// <summary>A token of a program.</summary>
/// <param name="Id">Its id, by which it is revoked.</param>
/// <param name="Label">What it is for.</param>
/// <param name="Scopes">What of the person's rights it has.</param>
/// <param name="Created">When it was made, RFC 3339.</param>
/// <param name="Expires">End, RFC 3339.</param>
/// <param name="Token">The token itself: only in the answer that makes it.</param>
internal sealed record TokenBody(string Id, string Label, IReadOnlyList<string> Scopes, string Created, string Expires, string? Token = null)
{
    /// <summary>From a row.</summary>
    public static TokenBody Of(TokenRow row, string? token = null) =>
        new(row.Id, row.Label, Roles.Split(row.Scopes), Rfc3339.Text(new(row.CreatedUs)), Rfc3339.Text(new(row.ExpiresUs)), token);
}

/// <summary>Tokens of a person.</summary>
/// <param name="Tokens">Oldest first.</param>
internal sealed record TokensBody(IReadOnlyList<TokenBody> Tokens);

/// <summary>A token to be made.</summary>
/// <param name="Label">What it is for: 1 to 64 characters.</param>
/// <param name="Scopes">Rights of your own that it shall have: <c>look</c>, <c>look-at-warnings</c>, <c>export</c>, <c>plan</c>, <c>metrics</c> ...</param>
/// <param name="Days">How long it is good, 1 to 365; default 90.</param>
internal sealed record TokenEntry(string Label, IReadOnlyList<string> Scopes, int Days = 90);

/// <summary>Somebody looked or changed.</summary>
/// <param name="Number">Place in the order.</param>
/// <param name="At">When, RFC 3339.</param>
/// <param name="Who">The person; <c>nobody</c> where nobody signs in.</param>
/// <param name="Did">What.</param>
/// <param name="Athlete">Whose data; null when it was of no single athlete.</param>
/// <param name="Detail">More; null for none.</param>
internal sealed record AuditEntry(long Number, string At, string Who, string Did, string? Athlete, string? Detail);

/// <summary>Part of the audit trail.</summary>
/// <param name="Entries">Newest first.</param>
/// <param name="Next">Goes into <c>before</c> for the next page; null on the last one.</param>
internal sealed record AuditBody(IReadOnlyList<AuditEntry> Entries, long? Next);

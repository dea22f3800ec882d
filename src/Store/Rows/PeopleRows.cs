namespace Saltograph.Store.Rows;

/// <summary>Somebody who may sign in.</summary>
public sealed record PersonRow
{
    /// <summary>Name for signing in, chosen; no real name.</summary>
    public required string Id { get; init; }

    /// <summary>Roles, a space between.</summary>
    public required string Roles { get; init; }

    /// <summary>Whether the person may sign in.</summary>
    public bool Active { get; init; } = true;

    /// <summary>Salted hash of the password; null until one was set.</summary>
    public string? PasswordHash { get; init; }

    /// <summary>Subject at the provider of OpenID Connect; null for none.</summary>
    public string? Subject { get; init; }

    /// <summary>Changes with everything that ends sessions: password, roles, being shut out.</summary>
    public required string Stamp { get; init; }

    /// <summary>Wrong passwords since the last right one.</summary>
    public long Failures { get; init; }

    /// <summary>Until when no password is tried, us since 1970; null when it is.</summary>
    public long? LockedUntilUs { get; init; }

    /// <summary>When the person was added, us since 1970.</summary>
    public long CreatedUs { get; init; }
}

/// <summary>Whose data a person sees.</summary>
/// <param name="Person">The person.</param>
/// <param name="Athlete">Pseudonym.</param>
public sealed record AssignmentRow(string Person, string Athlete);

/// <summary>A one-time link by which a person sets a password.</summary>
/// <param name="Hash">Hash of its code.</param>
/// <param name="Person">Whose.</param>
/// <param name="ExpiresUs">End, us since 1970.</param>
public sealed record LinkRow(string Hash, string Person, long ExpiresUs);

/// <summary>A token of a program.</summary>
/// <param name="Id">Its id, the part that is no secret.</param>
/// <param name="Hash">Hash of the secret part.</param>
/// <param name="Person">For whom it acts.</param>
/// <param name="Scopes">What of the person's rights it has, a space between.</param>
/// <param name="Label">What it is for.</param>
/// <param name="CreatedUs">When it was made, us since 1970.</param>
/// <param name="ExpiresUs">End, us since 1970.</param>
public sealed record TokenRow(string Id, string Hash, string Person, string Scopes, string Label, long CreatedUs, long ExpiresUs);

/// <summary>Consent as it stands.</summary>
public sealed record ConsentRow
{
    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>Whether she may be recorded and measured.</summary>
    public bool Recording { get; init; }

    /// <summary>Whether what was measured may be shown.</summary>
    public bool Display { get; init; }

    /// <summary>Who gave or withdrew it: <c>herself</c>, <c>guardian</c> or <c>both</c>.</summary>
    public required string GivenBy { get; init; }

    /// <summary>When it was entered, us since 1970.</summary>
    public long EnteredUs { get; init; }

    /// <summary>By whom.</summary>
    public required string EnteredBy { get; init; }
}

/// <summary>Somebody looked or changed.</summary>
/// <param name="Number">Place in the order; given when it is written.</param>
/// <param name="AtUs">When, us since 1970.</param>
/// <param name="Who">The person; <c>nobody</c> where nobody signs in.</param>
/// <param name="Did">What.</param>
/// <param name="Athlete">Whose data; null when it was of no single athlete.</param>
/// <param name="Detail">More, in words; null for none.</param>
public sealed record AuditRow(long Number, long AtUs, string Who, string Did, string? Athlete, string? Detail);

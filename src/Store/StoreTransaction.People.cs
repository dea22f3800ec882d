using Saltograph.Store.Rows;

namespace Saltograph.Store;

/// <summary>What a transaction writes about people: who may sign in, whose data they see, consents, and who looked.</summary>
public sealed partial class StoreTransaction
{
    /// <summary>Adds a person.</summary>
    /// <returns>Whether the name was free.</returns>
    public Task<bool> AddPersonAsync(PersonRow person) => IsNewAsync(
        """
        insert into people (id, roles, active, password_hash, subject, stamp, failures, locked_until_us, created_us)
        values (@Id, @Roles, @Active, @PasswordHash, @Subject, @Stamp, @Failures, @LockedUntilUs, @CreatedUs) on conflict (id) do nothing
        """,
        Values(person));

    /// <summary>Writes how a person stands now.</summary>
    /// <returns>Whether there is such a person.</returns>
    public Task<bool> PutPersonAsync(PersonRow person) => IsNewAsync(
        """
        update people set roles = @Roles, active = @Active, password_hash = @PasswordHash, subject = @Subject, stamp = @Stamp, failures = @Failures,
            locked_until_us = @LockedUntilUs where id = @Id
        """,
        Values(person));

    /// <summary>Assigns an athlete to a person.</summary>
    /// <returns>Whether that is new.</returns>
    public Task<bool> AssignAsync(string person, string athlete) => IsNewAsync(
        "insert into assignments (person, athlete) values (@person, @athlete) on conflict (person, athlete) do nothing", new { person, athlete });

    /// <summary>Takes an assignment away.</summary>
    /// <returns>Whether there was one.</returns>
    public Task<bool> UnassignAsync(string person, string athlete) =>
        IsNewAsync("delete from assignments where person = @person and athlete = @athlete", new { person, athlete });

    /// <summary>Adds a one-time link; those that the person had are gone.</summary>
    public async Task PutLinkAsync(LinkRow link)
    {
        ArgumentNullException.ThrowIfNull(link);
        await ExecuteAsync("delete from links where person = @Person", new { link.Person });
        await ExecuteAsync("insert into links (hash, person, expires_us) values (@Hash, @Person, @ExpiresUs)", new { link.Hash, link.Person, link.ExpiresUs });
    }

    /// <summary>Uses a link up.</summary>
    /// <returns>Whether it was there.</returns>
    public Task<bool> RemoveLinkAsync(string hash) => IsNewAsync("delete from links where hash = @hash", new { hash });

    /// <summary>Adds a token.</summary>
    public Task<bool> AddTokenAsync(TokenRow token) => IsNewAsync(
        """
        insert into tokens (id, hash, person, scopes, label, created_us, expires_us)
        values (@Id, @Hash, @Person, @Scopes, @Label, @CreatedUs, @ExpiresUs) on conflict (id) do nothing
        """,
        token);

    /// <summary>Takes a token away.</summary>
    /// <returns>Whether there was one.</returns>
    public Task<bool> RemoveTokenAsync(string id) => IsNewAsync("delete from tokens where id = @id", new { id });

    /// <summary>Writes how an athlete's consent stands now.</summary>
    public Task PutConsentAsync(ConsentRow consent)
    {
        ArgumentNullException.ThrowIfNull(consent);
        return ExecuteAsync(
            """
            insert into consents (athlete, recording, display, given_by, entered_us, entered_by) values (@Athlete, @Recording, @Display, @GivenBy, @EnteredUs, @EnteredBy)
            on conflict (athlete) do update set recording = excluded.recording, display = excluded.display, given_by = excluded.given_by,
                entered_us = excluded.entered_us, entered_by = excluded.entered_by
            """,
            new
            {
                consent.Athlete,
                Recording = consent.Recording ? 1L : 0L,
                Display = consent.Display ? 1L : 0L,
                consent.GivenBy,
                consent.EnteredUs,
                consent.EnteredBy,
            });
    }

    /// <summary>Notes that somebody looked or changed; its number is given here.</summary>
    public async Task AddAuditAsync(long atUs, string who, string did, string? athlete = null, string? detail = null)
    {
        await ExecuteAsync(
            "insert into audit (number, at_us, who, did, athlete, detail) values (@Number, @atUs, @who, @did, @athlete, @detail)",
            new { Number = LastAudit + 1, atUs, who, did, athlete, detail });
        LastAudit++;
    }

    /// <summary>Enters the sealed name of an athlete, in place of the one before.</summary>
    public Task PutNameAsync(string athlete, string sealedName) => ExecuteAsync(
        "insert into names (athlete, sealed) values (@athlete, @sealedName) on conflict (athlete) do update set sealed = excluded.sealed", new { athlete, sealedName });

    /// <summary>Adds the sealed key of an athlete's recordings.</summary>
    /// <returns>Whether it is new; one that is there stays.</returns>
    public Task<bool> AddKeyAsync(string athlete, string sealedKey, long createdUs) => IsNewAsync(
        "insert into athlete_keys (athlete, sealed, created_us) values (@athlete, @sealedKey, @createdUs) on conflict (athlete) do nothing",
        new { athlete, sealedKey, createdUs });

    private static object Values(PersonRow person) => new
    {
        person.Id,
        person.Roles,
        Active = person.Active ? 1L : 0L,
        person.PasswordHash,
        person.Subject,
        person.Stamp,
        person.Failures,
        person.LockedUntilUs,
        person.CreatedUs,
    };
}

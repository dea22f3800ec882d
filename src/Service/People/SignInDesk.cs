using Microsoft.AspNetCore.Identity;
using Saltograph.Imu;
using Saltograph.Service.Ingest;
using Saltograph.Store.Rows;

namespace Saltograph.Service.People;

/// <summary>Checks passwords and one-time links. One at a time: guessing never costs more than one core, and no two attempts count as one.</summary>
internal sealed class SignInDesk(IServiceScopeFactory scopes, PeopleBook book, IPasswordHasher<Person> hasher, TimeProvider time, ILogger<SignInDesk> log) : IDisposable
{
    private readonly SemaphoreSlim _oneAttempt = new(1);

    // Checked in place of the password of somebody who is not known, so that the time tells nothing.
    private readonly Lazy<string> _ofNobody = new(() => hasher.HashPassword(OfNobody, SessionTickets.NewKey()));

    private static Person OfNobody => new(new() { Id = PeopleSide.Nobody, Roles = "", Stamp = "" });

    /// <summary>The person of a name and password; null when they are wrong, or the account rests.</summary>
    public async Task<PersonRow?> CheckAsync(string name, string password, CancellationToken stop)
    {
        var called = IdText.IsValid(name) ? name : "that is no name";
        await _oneAttempt.WaitAsync(stop);
        try
        {
            using var scope = scopes.CreateScope();
            var people = scope.ServiceProvider.GetRequiredService<UserManager<Person>>();
            if (password.Length > Passwords.Longest || book.Find(name) is not { Active: true, PasswordHash: not null } row)
            {
                hasher.VerifyHashedPassword(OfNobody, _ofNobody.Value, password.Length > Passwords.Longest ? "" : password);
                log.SignInRefused(called, "no such person, or a wrong password");
                return null;
            }

            var person = new Person(row);
            if (await people.IsLockedOutAsync(person))
            {
                hasher.VerifyHashedPassword(OfNobody, _ofNobody.Value, password);
                log.SignInRefused(called, "too many wrong passwords, the account rests");
                return null;
            }

            if (!await people.CheckPasswordAsync(person, password))
            {
                await people.AccessFailedAsync(person);
                log.SignInRefused(called, "no such person, or a wrong password");
                return null;
            }

            if (person.Row.Failures > 0)
            {
                await people.ResetAccessFailedCountAsync(person);
            }

            log.SignedIn(called, "password");
            return book.Find(name);
        }
        finally
        {
            _oneAttempt.Release();
        }
    }

    /// <summary>Sets the password of whom a one-time link was made for, and uses the link up. Sessions of the person end.</summary>
    /// <returns>What was wrong; empty when it was done.</returns>
    public async Task<IReadOnlyList<string>> UseLinkAsync(string code, string password, CancellationToken stop)
    {
        await _oneAttempt.WaitAsync(stop);
        try
        {
            var hash = TokenScheme.HashOf(code);
            if (await book.LinkAsync(hash, stop) is not { } link || link.ExpiresUs <= HallClock.Now(time).Microseconds || book.Find(link.Person) is not { Active: true } row)
            {
                log.SignInRefused("a one-time link", "it was used, is over, or never was");
                return ["The link was used, is over, or never was. An administrator can make a new one."];
            }

            if (await SetAsync(row, password) is { Count: > 0 } faults)
            {
                return faults;
            }

            await book.ChangeAsync(transaction => transaction.RemoveLinkAsync(hash), CancellationToken.None);
            return [];
        }
        finally
        {
            _oneAttempt.Release();
        }
    }

    /// <summary>Changes a person's own password; the old one is asked. Sessions of the person end.</summary>
    /// <returns>What was wrong; empty when it was done.</returns>
    public async Task<IReadOnlyList<string>> ChangeAsync(string name, string old, string password, CancellationToken stop)
    {
        if (await CheckAsync(name, old, stop) is not { } row)
        {
            return ["The old password is wrong."];
        }

        await _oneAttempt.WaitAsync(stop);
        try
        {
            return await SetAsync(row, password);
        }
        finally
        {
            _oneAttempt.Release();
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _oneAttempt.Dispose();

    private async Task<IReadOnlyList<string>> SetAsync(PersonRow row, string password)
    {
        using var scope = scopes.CreateScope();
        var people = scope.ServiceProvider.GetRequiredService<UserManager<Person>>();
        var person = new Person(row);
        foreach (var validator in people.PasswordValidators)
        {
            if (await validator.ValidateAsync(people, person, password) is { Succeeded: false } refused)
            {
                return [.. refused.Errors.Select(error => error.Description)];
            }
        }

        person.Row = row with { PasswordHash = hasher.HashPassword(person, password), Failures = 0, LockedUntilUs = null };
        await people.UpdateSecurityStampAsync(person); // writes the row too
        log.PasswordSet(row.Id);
        return [];
    }
}

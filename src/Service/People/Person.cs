using Microsoft.AspNetCore.Identity;
using Saltograph.Service.Ingest;
using Saltograph.Store.Rows;

namespace Saltograph.Service.People;

/// <summary>A person as the framework's identity changes it.</summary>
/// <param name="row">As stored.</param>
internal sealed class Person(PersonRow row)
{
    /// <summary>As it is to be stored.</summary>
    public PersonRow Row { get; set; } = row;
}

/// <summary>What the framework's identity reads and writes: passwords, stamps, wrong attempts. Kept in the hall's own store.</summary>
internal sealed class PersonStore(PeopleBook book) : IUserPasswordStore<Person>, IUserSecurityStampStore<Person>, IUserLockoutStore<Person>
{
    public Task<string> GetUserIdAsync(Person user, CancellationToken cancellationToken) => Task.FromResult(user.Row.Id);

    public Task<string?> GetUserNameAsync(Person user, CancellationToken cancellationToken) => Task.FromResult<string?>(user.Row.Id);

    public Task<string?> GetNormalizedUserNameAsync(Person user, CancellationToken cancellationToken) => Task.FromResult<string?>(user.Row.Id);

    // Names are a-z, 0-9 and - only: there is nothing to bring into one form, and none changes.
    public Task SetUserNameAsync(Person user, string? userName, CancellationToken cancellationToken) => Task.CompletedTask;

    public Task SetNormalizedUserNameAsync(Person user, string? normalizedName, CancellationToken cancellationToken) => Task.CompletedTask;

    public async Task<IdentityResult> CreateAsync(Person user, CancellationToken cancellationToken) =>
        await book.ChangeAsync(transaction => transaction.AddPersonAsync(user.Row), cancellationToken) ? IdentityResult.Success : Missing();

    public async Task<IdentityResult> UpdateAsync(Person user, CancellationToken cancellationToken) =>
        await book.ChangeAsync(transaction => transaction.PutPersonAsync(user.Row), cancellationToken) ? IdentityResult.Success : Missing();

    public Task<IdentityResult> DeleteAsync(Person user, CancellationToken cancellationToken) =>
        throw new NotSupportedException("People are shut out, not deleted: the audit trail names them.");

    public Task<Person?> FindByIdAsync(string userId, CancellationToken cancellationToken) => FindByNameAsync(userId, cancellationToken);

    public Task<Person?> FindByNameAsync(string normalizedUserName, CancellationToken cancellationToken) =>
        Task.FromResult(book.Find(normalizedUserName) is { } row ? new Person(row) : null);

    public Task SetPasswordHashAsync(Person user, string? passwordHash, CancellationToken cancellationToken) => Do(user, user.Row with { PasswordHash = passwordHash });

    public Task<string?> GetPasswordHashAsync(Person user, CancellationToken cancellationToken) => Task.FromResult(user.Row.PasswordHash);

    public Task<bool> HasPasswordAsync(Person user, CancellationToken cancellationToken) => Task.FromResult(user.Row.PasswordHash is not null);

    public Task SetSecurityStampAsync(Person user, string stamp, CancellationToken cancellationToken) => Do(user, user.Row with { Stamp = stamp });

    public Task<string?> GetSecurityStampAsync(Person user, CancellationToken cancellationToken) => Task.FromResult<string?>(user.Row.Stamp);

    public Task<DateTimeOffset?> GetLockoutEndDateAsync(Person user, CancellationToken cancellationToken) =>
        Task.FromResult(user.Row.LockedUntilUs is { } us ? DateTimeOffset.UnixEpoch.AddMicroseconds(us) : (DateTimeOffset?)null);

    public Task SetLockoutEndDateAsync(Person user, DateTimeOffset? lockoutEnd, CancellationToken cancellationToken) =>
        Do(user, user.Row with { LockedUntilUs = lockoutEnd is { } end ? HallClock.Of(end).Microseconds : null });

    public Task<int> IncrementAccessFailedCountAsync(Person user, CancellationToken cancellationToken)
    {
        user.Row = user.Row with { Failures = user.Row.Failures + 1 };
        return Task.FromResult((int)user.Row.Failures);
    }

    public Task ResetAccessFailedCountAsync(Person user, CancellationToken cancellationToken) => Do(user, user.Row with { Failures = 0 });

    public Task<int> GetAccessFailedCountAsync(Person user, CancellationToken cancellationToken) => Task.FromResult((int)user.Row.Failures);

    public Task<bool> GetLockoutEnabledAsync(Person user, CancellationToken cancellationToken) => Task.FromResult(true);

    public Task SetLockoutEnabledAsync(Person user, bool enabled, CancellationToken cancellationToken) => Task.CompletedTask;

    public void Dispose()
    {
        // Nothing is held.
    }

    private static Task Do(Person user, PersonRow row)
    {
        user.Row = row;
        return Task.CompletedTask;
    }

    private static IdentityResult Missing() => IdentityResult.Failed(new IdentityError { Code = "Missing", Description = "There is no such person, or the name is taken." });
}

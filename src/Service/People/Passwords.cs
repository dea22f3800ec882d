using Microsoft.AspNetCore.Identity;

namespace Saltograph.Service.People;

/// <summary>Which passwords are good enough: long ones that are not the name and not one character pattern over and over.</summary>
internal sealed class Passwords : IPasswordValidator<Person>
{
    /// <summary>Fewest characters.</summary>
    public const int Shortest = 12;

    /// <summary>Most characters: hashing more would only cost time.</summary>
    public const int Longest = 256;

    /// <inheritdoc/>
    public Task<IdentityResult> ValidateAsync(UserManager<Person> manager, Person user, string? password) => Task.FromResult(
        password is null || password.Length > Longest ? Wrong($"At most {Longest} characters.")
        : password.Contains(user.Row.Id, StringComparison.OrdinalIgnoreCase) ? Wrong("The name must not be in it.")
        : IsRepeated(password) ? Wrong("Not the same few characters over and over.")
        : IdentityResult.Success);

    // A period of up to a third of the length, such as "abc" four times.
    private static bool IsRepeated(string password) =>
        Enumerable.Range(1, password.Length / 3).Any(period => Enumerable.Range(period, password.Length - period).All(at => password[at] == password[at - period]));

    private static IdentityResult Wrong(string why) => IdentityResult.Failed(new IdentityError { Code = "Password", Description = why });
}

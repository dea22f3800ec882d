namespace Saltograph.Board.Access;

/// <summary>Somebody who may sign in.</summary>
/// <param name="Name">Name for signing in; no real name.</param>
/// <param name="Roles">Some of <see cref="IPeopleStaff.Roles"/>.</param>
/// <param name="Looks">Whether a role of the person looks at athletes at all.</param>
/// <param name="IsActive">Whether the person may sign in.</param>
/// <param name="HasPassword">Whether a password was set.</param>
/// <param name="IsOfProvider">Whether the person signs in at the provider of OpenID Connect.</param>
/// <param name="RestsUntilUs">Until when no password is tried, us since 1970; null when it is.</param>
/// <param name="Athletes">Pseudonyms of those whose data the person sees, in order.</param>
public sealed record PersonSheet(
    string Name, IReadOnlyList<string> Roles, bool Looks, bool IsActive, bool HasPassword, bool IsOfProvider, long? RestsUntilUs, IReadOnlyList<string> Athletes);

/// <summary>The consent of an athlete as it stands.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Recording">Whether she may be recorded and measured.</param>
/// <param name="Display">Whether what was measured may be shown and published.</param>
/// <param name="GivenBy">One of <see cref="IPeopleStaff.Givers"/>; null while none was entered.</param>
/// <param name="EnteredUs">When it was entered, us since 1970; null while none was.</param>
public sealed record ConsentSheet(string Athlete, bool Recording, bool Display, string? GivenBy, long? EnteredUs);

/// <summary>A link by which a person sets a password, once.</summary>
/// <param name="Path">Place on this service, with the code behind the #.</param>
/// <param name="Hours">How long it is good.</param>
public sealed record OnceLink(string Path, int Hours);

/// <summary>What an administrator does for people and consents. Changes answer null when they were done, else what was found and what is allowed.</summary>
public interface IPeopleStaff
{
    /// <summary>All roles.</summary>
    IReadOnlyList<string> Roles { get; }

    /// <summary>Who may give a consent.</summary>
    IReadOnlyList<string> Givers { get; }

    /// <summary>Everybody, by name.</summary>
    IReadOnlyList<PersonSheet> Everybody { get; }

    /// <summary>Consents of all who are on the roster or have data, by pseudonym.</summary>
    Task<IReadOnlyList<ConsentSheet>> ConsentsAsync(CancellationToken stop);

    /// <summary>Adds a person; a name that is there already is refused.</summary>
    /// <param name="person">Name for signing in.</param>
    /// <param name="roles">Some of <see cref="Roles"/>.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> AddAsync(string person, IReadOnlyList<string> roles, CancellationToken stop);

    /// <summary>Changes a person's roles, or shuts the person out. Either ends the person's sessions.</summary>
    /// <param name="person">Name for signing in.</param>
    /// <param name="roles">Some of <see cref="Roles"/>.</param>
    /// <param name="isActive">Whether the person may sign in.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> ChangeAsync(string person, IReadOnlyList<string> roles, bool isActive, CancellationToken stop);

    /// <summary>Makes a one-time link; links made before are gone. Null when there is no such active person.</summary>
    Task<OnceLink?> LinkAsync(string person, CancellationToken stop);

    /// <summary>Lets a person see an athlete's data, or no longer.</summary>
    /// <param name="person">Name for signing in.</param>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="isAssigned">Which of both.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> AssignAsync(string person, string athlete, bool isAssigned, CancellationToken stop);

    /// <summary>Enters or withdraws a consent. It counts at once.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="recording">Whether she may be recorded and measured.</param>
    /// <param name="display">Whether what was measured may be shown and published.</param>
    /// <param name="givenBy">One of <see cref="Givers"/>.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> ConsentAsync(string athlete, bool recording, bool display, string givenBy, CancellationToken stop);
}

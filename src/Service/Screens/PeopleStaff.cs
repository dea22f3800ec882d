using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;
using Saltograph.Store;

namespace Saltograph.Service.Screens;

/// <summary>What an administrator does on the page of people, given to the desks that the HTTP interface uses.</summary>
internal sealed class PeopleStaff(
    PeopleDesk desk, PeopleBook book, ConsentDesk consents, ConsentGate gate, Onlooker onlooker, Roster roster, HallStore store, ServiceOptions options) : IPeopleStaff
{
    /// <inheritdoc/>
    public IReadOnlyList<string> Roles => People.Roles.All;

    /// <inheritdoc/>
    public IReadOnlyList<string> Givers => ConsentDesk.Givers;

    /// <inheritdoc/>
    public IReadOnlyList<PersonSheet> Everybody =>
    [
        .. book.Everybody.Select(row => new PersonSheet(
            row.Id, People.Roles.Split(row.Roles), People.Roles.Have(row.Roles, Rights.Look), row.Active, row.PasswordHash is not null, row.Subject is not null, row.LockedUntilUs, [.. book.AthletesOf(row.Id)])),
    ];

    /// <inheritdoc/>
    public async Task<IReadOnlyList<ConsentSheet>> ConsentsAsync(CancellationToken stop) =>
    [
        .. roster.Athletes.Select(athlete => athlete.Value).Union(await store.Sessions.AthletesAsync(stop), StringComparer.Ordinal).Order(StringComparer.Ordinal).Select(athlete =>
            new ConsentSheet(athlete, gate.MayRecord(new(athlete)), gate.MayShow(new(athlete)), book.Consent(athlete)?.GivenBy, book.Consent(athlete)?.EnteredUs)),
    ];

    /// <inheritdoc/>
    public async Task<string?> AddAsync(string person, IReadOnlyList<string> roles, CancellationToken stop) =>
        book.Find(person) is null ? await PutAsync(person, roles, true, stop) : Text(new("person", $"'{person}', who is there already", "a name that nobody has"));

    /// <inheritdoc/>
    public async Task<string?> ChangeAsync(string person, IReadOnlyList<string> roles, bool isActive, CancellationToken stop) =>
        book.Find(person) is null ? NoPerson(person) : await PutAsync(person, roles, isActive, stop);

    /// <inheritdoc/>
    public async Task<OnceLink?> LinkAsync(string person, CancellationToken stop) =>
        await desk.LinkAsync(onlooker.Called, person, stop) is { } code ? new($"/set-password#{code}", options.People.LinkHours) : null;

    /// <inheritdoc/>
    public async Task<string?> AssignAsync(string person, string athlete, bool isAssigned, CancellationToken stop) =>
        !IdText.IsValid(athlete) ? Text(new("athlete", $"'{athlete}'", IdText.Allowed))
        : await desk.AssignAsync(onlooker.Called, person, athlete, isAssigned, stop) is null ? NoPerson(person) : null;

    /// <inheritdoc/>
    public async Task<string?> ConsentAsync(string athlete, bool recording, bool display, string givenBy, CancellationToken stop) =>
        (IdText.IsValid(athlete) ? await consents.PutAsync(onlooker.Called, athlete, new(recording, display, givenBy), stop) : new("athlete", $"'{athlete}'", IdText.Allowed)) is { } fault
            ? Text(fault) : null;

    private async Task<string?> PutAsync(string person, IReadOnlyList<string> roles, bool isActive, CancellationToken stop)
    {
        var faults = (await desk.PutAsync(onlooker.Called, person, roles, isActive, book.Find(person)?.Subject, stop)).Faults;
        return faults.Count > 0 ? string.Join(' ', faults.Select(Text)) : null;
    }

    private static string NoPerson(string person) => Text(new("person", $"'{person}'", "a person who was added"));

    private static string Text(ApiFault fault) => fault.ToString();
}

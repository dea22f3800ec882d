using System.Security.Cryptography;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.Security;
using Saltograph.Store.Rows;

namespace Saltograph.Service.People;

/// <summary>Adds people, gives them roles and athletes, makes their one-time links. Every change is in the audit trail, in the same transaction.</summary>
internal sealed class PeopleDesk(PeopleBook book, ServiceOptions options, TimeProvider time, ILogger<PeopleDesk> log)
{
    /// <summary>File with the link of the first start, beside the folder of the keys.</summary>
    public const string LinkFile = "set-up-link.txt";

    private const string FirstName = "administrator";

    /// <summary>Adds or changes a person. Sessions end when roles change or the person is shut out.</summary>
    public async Task<Answer<PersonRow>> PutAsync(string who, string person, IReadOnlyList<string> roles, bool active, string? subject, CancellationToken stop)
    {
        var faults = Faults(person, new(roles, active, subject)).ToList();
        if (subject is not null && book.OfSubject(subject) is { } other && other.Id != person)
        {
            faults.Add(new("subject", "somebody else's", "1 to 255 characters, each person another, or null"));
        }

        if ((!active || !roles.Contains(Roles.Administrator, StringComparer.Ordinal)) && IsLastAdministrator(person))
        {
            faults.Add(new("roles", $"{person}, the last administrator, without that role", $"another active {Roles.Administrator} first"));
        }

        if (faults.Count > 0)
        {
            return new(null, faults);
        }

        var text = string.Join(' ', roles.Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal));
        var before = book.Find(person);
        var row = (before ?? new() { Id = person, Roles = text, Stamp = "", CreatedUs = NowUs }) with { Roles = text, Active = active, Subject = subject };
        if (before is null || before.Roles != text || before.Active != active)
        {
            row = row with { Stamp = NewStamp() };
        }

        await book.ChangeAsync(
            async transaction =>
            {
                await transaction.AddAuditAsync(NowUs, who, before is null ? "add-person" : "change-person", null, $"{person}: {text}{(active ? "" : ", shut out")}");
                return before is null ? await transaction.AddPersonAsync(row) : await transaction.PutPersonAsync(row);
            },
            stop);
        return row;
    }

    /// <summary>What is wrong with what is entered, whoever else there is.</summary>
    internal static IEnumerable<ApiFault> Faults(string person, PersonEntry entry)
    {
        if (!IdText.IsValid(person) || person == PeopleSide.Nobody)
        {
            yield return new("person", $"'{person}'", IdText.Allowed);
        }

        if ((IReadOnlyList<string>?)entry.Roles is not { } roles)
        {
            yield return new("roles", "nothing", $"a list of {Roles.Allowed}");
            yield break;
        }

        foreach (var role in roles.Where(role => !Roles.All.Contains(role, StringComparer.Ordinal)))
        {
            yield return new("roles", $"'{role}'", Roles.Allowed);
        }

        if (entry.Subject is { Length: 0 or > 255 } subject)
        {
            yield return new("subject", $"{subject.Length} characters", "1 to 255 characters, each person another, or null");
        }
    }

    /// <summary>Makes a one-time link by which a person sets a password; null when there is no such person.</summary>
    /// <returns>The code that goes behind the # of the address.</returns>
    public async Task<string?> LinkAsync(string who, string person, CancellationToken stop)
    {
        if (book.Find(person) is not { Active: true })
        {
            return null;
        }

        var code = SecretHash.NewSecret();
        var expiresUs = HallClock.Of(time.GetUtcNow().AddHours(options.People.LinkHours)).Microseconds;
        await book.ChangeAsync(
            async transaction =>
            {
                await transaction.AddAuditAsync(NowUs, who, "make-link", null, person);
                await transaction.PutLinkAsync(new(TokenScheme.HashOf(code), person, expiresUs));
                return true;
            },
            stop);
        return code;
    }

    /// <summary>Gives an athlete to a person, or takes her away.</summary>
    /// <returns>Null when there is no such person; else whether something changed.</returns>
    public async Task<bool?> AssignAsync(string who, string person, string athlete, bool assigned, CancellationToken stop) => book.Find(person) is null ? null
        : await book.ChangeAsync(
            async transaction =>
            {
                await transaction.AddAuditAsync(NowUs, who, assigned ? "assign" : "unassign", athlete, person);
                return assigned ? await transaction.AssignAsync(person, athlete) : await transaction.UnassignAsync(person, athlete);
            },
            stop);

    /// <summary>When nobody can sign in yet: adds an administrator and writes the one-time link into a file that only the service's user can read.</summary>
    /// <param name="address">Where the pages are.</param>
    /// <param name="stop">Gives up.</param>
    /// <returns>The file; null when there was nothing to do.</returns>
    public async Task<string?> BeginAsync(string address, CancellationToken stop)
    {
        if (options.People.Anonymous || book.Everybody.Any(person => person is { PasswordHash: not null } or { Subject: not null }))
        {
            return null;
        }

        if (book.Find(FirstName) is null)
        {
            await PutAsync(PeopleSide.Nobody, FirstName, [Roles.Administrator], active: true, subject: null, stop);
        }

        var code = await LinkAsync(PeopleSide.Nobody, FirstName, stop);
        var file = Path.Combine(Path.GetDirectoryName(Path.GetFullPath(options.People.KeyFolder))!, LinkFile);
        PrivateFile.Write(file, $"{address}/set-password#{code}\n");
        log.LinkWritten(file);
        return file;
    }

    private long NowUs => HallClock.Now(time).Microseconds;

    private bool IsLastAdministrator(string person) =>
        book.Find(person) is { Active: true } row && IsAdministrator(row) && !book.Everybody.Any(other => other.Id != person && other.Active && IsAdministrator(other));

    private static bool IsAdministrator(PersonRow row) => Roles.Split(row.Roles).Contains(Roles.Administrator, StringComparer.Ordinal);

    private static string NewStamp() => Convert.ToHexString(RandomNumberGenerator.GetBytes(16));
}

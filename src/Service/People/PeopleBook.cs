using System.Collections.Frozen;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.People;

/// <summary>Everybody who may sign in, their athletes, tokens, and consents, as the store has them now. Read with each request, so it is in memory; every change goes through here.</summary>
internal sealed class PeopleBook(HallStore store)
{
    private volatile Page _page = new([], [], [], []);

    /// <summary>Everybody, by name.</summary>
    public IEnumerable<PersonRow> Everybody => _page.People.Values.OrderBy(person => person.Id, StringComparer.Ordinal);

    /// <summary>A person; null when there is none.</summary>
    public PersonRow? Find(string id) => _page.People.GetValueOrDefault(id);

    /// <summary>The person of a subject at the provider; null when there is none.</summary>
    public PersonRow? OfSubject(string subject) => _page.People.Values.FirstOrDefault(person => person.Subject == subject);

    /// <summary>Whether a person is active and an athlete is assigned to the person.</summary>
    public bool IsAssigned(string person, string athlete) => Find(person) is { Active: true } && _page.Assignments.Contains(new(person, athlete));

    /// <summary>Athletes of a person, in order.</summary>
    public IEnumerable<string> AthletesOf(string person) =>
        _page.Assignments.Where(row => row.Person == person).Select(row => row.Athlete).Order(StringComparer.Ordinal);

    /// <summary>A token; null when there is none.</summary>
    public TokenRow? Token(string id) => _page.Tokens.GetValueOrDefault(id);

    /// <summary>Tokens of a person, oldest first.</summary>
    public IEnumerable<TokenRow> TokensOf(string person) => _page.Tokens.Values.Where(token => token.Person == person).OrderBy(token => token.CreatedUs).ThenBy(token => token.Id, StringComparer.Ordinal);

    /// <summary>The consent of an athlete; null when none was entered.</summary>
    public ConsentRow? Consent(string athlete) => _page.Consents.GetValueOrDefault(athlete);

    /// <summary>The one-time link of a hash; null when there is none.</summary>
    public Task<LinkRow?> LinkAsync(string hash, CancellationToken stop) => store.People.LinkAsync(hash, stop);

    /// <summary>Reads everything anew.</summary>
    public async Task RecallAsync(CancellationToken stop) => _page = new(
        await store.People.AllAsync(stop), await store.People.AssignmentsAsync(stop), await store.People.TokensAsync(stop), await store.People.ConsentsAsync(stop));

    /// <summary>Changes something in one transaction, and knows it afterwards.</summary>
    public async Task<T> ChangeAsync<T>(Func<StoreTransaction, Task<T>> work, CancellationToken stop)
    {
        var result = await store.WriteAsync(work, stop);
        await RecallAsync(CancellationToken.None); // it is written: what is known must not stay behind
        return result;
    }

    private sealed class Page(
        IReadOnlyList<PersonRow> people, IReadOnlyList<AssignmentRow> assignments, IReadOnlyList<TokenRow> tokens, IReadOnlyList<ConsentRow> consents)
    {
        public FrozenDictionary<string, PersonRow> People { get; } = people.ToFrozenDictionary(person => person.Id, StringComparer.Ordinal);

        public FrozenSet<AssignmentRow> Assignments { get; } = assignments.ToFrozenSet();

        public FrozenDictionary<string, TokenRow> Tokens { get; } = tokens.ToFrozenDictionary(token => token.Id, StringComparer.Ordinal);

        public FrozenDictionary<string, ConsentRow> Consents { get; } = consents.ToFrozenDictionary(consent => consent.Athlete, StringComparer.Ordinal);
    }
}

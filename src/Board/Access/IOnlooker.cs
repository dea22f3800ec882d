namespace Saltograph.Board.Access;

/// <summary>Who looks at a page: one for each request and for each live page.</summary>
public interface IOnlooker
{
    /// <summary>Name of the person; null where nobody signs in, and before signing in.</summary>
    string? Name { get; }

    /// <summary>Whether an athlete's data may be shown now.</summary>
    /// <param name="athlete">Pseudonym.</param>
    bool Sees(string athlete);

    /// <summary>Whether the person may do something now; one of <see cref="Rights"/>.</summary>
    bool May(string right);
}

namespace Saltograph.Store;

/// <summary>Whose rows an answer may hold. It narrows each statement, so that no caller has to remember to.</summary>
public sealed class Sight
{
    private readonly Func<string>? _seer;
    private readonly bool? _consentAssumed;

    private Sight(Func<string>? seer, bool? consentAssumed) => (_seer, _consentAssumed) = (seer, consentAssumed);

    /// <summary>Every row: for the service's own work, never for an answer to somebody.</summary>
    public static Sight Everything { get; } = new(null, consentAssumed: null);

    /// <summary>Every athlete, where nobody signs in.</summary>
    /// <param name="consentAssumed">Whether an athlete without an entered consent is shown; one whose consent to be shown was withdrawn never is.</param>
    public static Sight OfEverybody(bool consentAssumed) => new(null, consentAssumed);

    /// <summary>The athletes that a person is assigned to, while the person is active.</summary>
    /// <param name="seer">Id of the person, asked anew for each statement; empty: nobody, who sees nothing.</param>
    /// <param name="consentAssumed">Whether an athlete without an entered consent is shown; one whose consent to be shown was withdrawn never is.</param>
    public static Sight Of(Func<string> seer, bool consentAssumed) => new(seer, consentAssumed);

    /// <summary>Id of the person, parameter <c>@seer</c> of the conditions; empty for none.</summary>
    internal string Seer => _seer?.Invoke() ?? "";

    /// <summary>The conditions, each with "and" before it; empty for everything.</summary>
    /// <param name="column">Column with the pseudonym.</param>
    internal string And(string column = "athlete") =>
        (_seer is null ? "" : $" and {column} in (select assignments.athlete from assignments join people on people.id = assignments.person where people.id = @seer and people.active = 1)")
        + _consentAssumed switch
        {
            null => "",
            true => $" and {column} not in (select consents.athlete from consents where consents.display = 0)",
            false => $" and {column} in (select consents.athlete from consents where consents.display = 1)",
        };
}

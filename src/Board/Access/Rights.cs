using System.Collections.Frozen;
using System.Security.Claims;

namespace Saltograph.Board.Access;

/// <summary>What somebody may do; each is the name of an authorization policy. Which athletes' data it is about is asked separately.</summary>
public static class Rights
{
    /// <summary>Look at jumps, trainings, load and plans.</summary>
    public const string Look = "look";

    /// <summary>Look at warnings.</summary>
    public const string LookAtWarnings = "look-at-warnings";

    /// <summary>Look at the sensors.</summary>
    public const string LookAtSensors = "look-at-sensors";

    /// <summary>Answer warnings.</summary>
    public const string AnswerWarnings = "answer-warnings";

    /// <summary>Enter plans of a day and trainings.</summary>
    public const string Plan = "plan";

    /// <summary>Enter limits after an injury.</summary>
    public const string ReturnToPlay = "return-to-play";

    /// <summary>Take many jumps away as a file.</summary>
    public const string Export = "export";

    /// <summary>Take everything of one athlete away.</summary>
    public const string ExportAthlete = "export-athlete";

    /// <summary>Change one's own password, sign out.</summary>
    public const string OwnAccount = "own-account";

    /// <summary>Make and revoke tokens of one's own.</summary>
    public const string OwnTokens = "own-tokens";

    /// <summary>Add people, give roles and athletes, enter consents and names, erase an athlete.</summary>
    public const string Administer = "administer";

    /// <summary>Read who looked and changed.</summary>
    public const string Audit = "audit";

    /// <summary>Read metrics.</summary>
    public const string Metrics = "metrics";

    /// <summary>What a route without a right of its own asks for: only where nobody signs in does anybody have it.</summary>
    public const string Undeclared = "undeclared";

    /// <summary>Kind of the claims of a signed-in person that name rights.</summary>
    public const string ClaimType = "right";

    /// <summary>All of them.</summary>
    public static readonly FrozenSet<string> All = FrozenSet.Create(
        StringComparer.Ordinal, Look, LookAtWarnings, LookAtSensors, AnswerWarnings, Plan, ReturnToPlay, Export, ExportAthlete, OwnAccount, OwnTokens, Administer, Audit, Metrics, Undeclared);

    /// <summary>Whether somebody has a right.</summary>
    public static bool Has(this ClaimsPrincipal person, string right)
    {
        ArgumentNullException.ThrowIfNull(person);
        return person.HasClaim(ClaimType, right);
    }
}

using Saltograph.Board.Access;

namespace Saltograph.Service.People;

/// <summary>What each role may do. A person may have several. An administrator as such sees no athlete's data.</summary>
internal static class Roles
{
    /// <summary>The roles.</summary>
    public const string Coach = "coach", Medical = "medical", Analyst = "analyst", Administrator = "administrator", GuardianRead = "guardian-read";

    /// <summary>All of them.</summary>
    public static readonly IReadOnlyList<string> All = [Coach, Medical, Analyst, Administrator, GuardianRead];

    /// <summary>For messages.</summary>
    public static readonly string Allowed = string.Join(", ", All);

    private static readonly string[] Everybody = [Rights.OwnAccount];

    private static readonly Dictionary<string, string[]> Table = new(StringComparer.Ordinal)
    {
        [Coach] = [Rights.Look, Rights.LookAtWarnings, Rights.LookAtSensors, Rights.AnswerWarnings, Rights.Plan, Rights.Export, Rights.OwnTokens],
        [Medical] =
        [
            Rights.Look, Rights.LookAtWarnings, Rights.LookAtSensors, Rights.AnswerWarnings, Rights.Plan, Rights.ReturnToPlay, Rights.Export, Rights.OwnTokens,
        ],
        [Analyst] = [Rights.Look, Rights.LookAtWarnings, Rights.LookAtSensors, Rights.Export, Rights.OwnTokens],
        [Administrator] = [Rights.Administer, Rights.Audit, Rights.Metrics, Rights.ExportAthlete, Rights.OwnTokens],
        [GuardianRead] = [Rights.Look, Rights.ExportAthlete],
    };

    /// <summary>The rights of some roles, each once.</summary>
    /// <param name="roles">Roles, a space between.</param>
    public static IEnumerable<string> RightsOf(string roles) =>
        Split(roles).SelectMany(role => Table.GetValueOrDefault(role, [])).Concat(Everybody).Distinct(StringComparer.Ordinal);

    /// <summary>Whether some roles have a right.</summary>
    public static bool Have(string roles, string right) => RightsOf(roles).Contains(right, StringComparer.Ordinal);

    /// <summary>The words of a text.</summary>
    public static string[] Split(string words) => words.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
}

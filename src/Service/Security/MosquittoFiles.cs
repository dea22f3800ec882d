using System.Text;
using Saltograph.Imu;
using Saltograph.Wire;

namespace Saltograph.Service.Security;

/// <summary>The accounts and the rules as Mosquitto reads them: a password file and an access control list.</summary>
internal static class MosquittoFiles
{
    /// <summary>Folder in the folder of the configuration.</summary>
    public const string Folder = "mosquitto";

    /// <summary>Names in that folder.</summary>
    public const string PasswordFile = "passwords", AccessFile = "acl";

    /// <summary>Writes both.</summary>
    /// <param name="configuration">Folder of the configuration.</param>
    /// <param name="accounts">The accounts.</param>
    /// <param name="hall">The hall.</param>
    public static void Write(string configuration, IReadOnlyList<Account> accounts, HallId hall)
    {
        var folder = Directory.CreateDirectory(Path.Combine(configuration, Folder)).FullName;
        PrivateFile.Write(Path.Combine(folder, PasswordFile), Passwords(accounts));
        PrivateFile.Write(Path.Combine(folder, AccessFile), AccessList(accounts, hall));
    }

    /// <summary>The password file.</summary>
    public static string Passwords(IReadOnlyList<Account> accounts) =>
        string.Concat(accounts.Where(account => account.Hash.Length > 0).Select(account => $"{account.Name}:{account.Hash}\n"));

    /// <summary>The access control list.</summary>
    public static string AccessList(IReadOnlyList<Account> accounts, HallId hall)
    {
        var text = new StringBuilder("# Written by the verbs enrol and revoke. Whatever is not listed is denied.\n");
        foreach (var account in accounts)
        {
            text.Append('\n').Append("user ").Append(account.Name).Append('\n');
            foreach (var line in Lines(account, hall))
            {
                text.Append("topic ").Append(line).Append('\n');
            }
        }

        return text.ToString();
    }

    private static IEnumerable<string> Lines(Account account, HallId hall) => account.Kind switch
    {
        Account.Sensor =>
        [
            .. AccessRules.OfSensors.Select(kind => "write " + Topics.Of(hall, new SensorId(account.Name), kind)),
            "read " + Topics.Of(hall, new SensorId(account.Name), SensorTopic.ClockAnswer),
        ],
        Account.Reader => [$"read {AccessRules.AthletesPrefix(hall)}#", "read " + Topics.AllSensors(hall, SensorTopic.Faults)],
        _ =>
        [
            .. AccessRules.OfSensors.Select(kind => "read " + Topics.AllSensors(hall, kind)),
            "write " + Topics.AllSensors(hall, SensorTopic.ClockAnswer),
            "write " + Topics.AllSensors(hall, SensorTopic.Faults),
            $"write {AccessRules.AthletesPrefix(hall)}#",
        ],
    };
}

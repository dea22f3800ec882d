using Saltograph.Service.Api;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Privacy;

/// <summary>Enters and withdraws consents. Each change is in the audit trail, in the same transaction.</summary>
internal sealed class ConsentDesk(PeopleBook book, TimeProvider time)
{
    /// <summary>Who may give one.</summary>
    public static readonly IReadOnlyList<string> Givers = ["herself", "guardian", "both"];

    /// <summary>What is wrong with what is entered; null when nothing is.</summary>
    public static ApiFault? Fault(ConsentEntry entry) =>
        Givers.Contains(entry.GivenBy, StringComparer.Ordinal) ? null : new("givenBy", $"'{entry.GivenBy}'", string.Join(", ", Givers));

    /// <summary>Enters it; it counts at once.</summary>
    /// <returns>What is wrong with it; null when it was entered.</returns>
    public async Task<ApiFault?> PutAsync(string who, string athlete, ConsentEntry entry, CancellationToken stop)
    {
        if (Fault(entry) is { } fault)
        {
            return fault;
        }

        var nowUs = HallClock.Now(time).Microseconds;
        await book.ChangeAsync(
            async transaction =>
            {
                await transaction.AddAuditAsync(nowUs, who, "put-consent", athlete, $"recording {entry.Recording}, display {entry.Display}, by {entry.GivenBy}");
                await transaction.PutConsentAsync(new ConsentRow
                {
                    Athlete = athlete,
                    Recording = entry.Recording,
                    Display = entry.Display,
                    GivenBy = entry.GivenBy,
                    EnteredUs = nowUs,
                    EnteredBy = who,
                });
                return true;
            },
            stop);
        return null;
    }
}

using Saltograph.Board.Access;
using Saltograph.Board.Live;
using Saltograph.Service.People;
using Saltograph.Service.Warnings;
using Saltograph.Store;

namespace Saltograph.Service.Screens;

/// <summary>Answers of staff on the page of warnings, given to the desk of the warnings: of those who may, about those whom they see, under the name they signed in with.</summary>
internal sealed class StaffAnswers(WarningDesk desk, Onlooker onlooker, HallView store, TimeProvider time) : IWarningStaff
{
    private const string Refused = "Found a warning that you may not answer; allowed: those of your athletes, for a coach or medical.";

    /// <inheritdoc/>
    public Task<string?> AcknowledgeAsync(string warning, string who, string why, CancellationToken stop) =>
        TextAsync(warning, () => desk.AcknowledgeAsync(warning, onlooker.Name ?? who, why, stop), stop);

    /// <inheritdoc/>
    public Task<string?> ShelveAsync(string warning, int minutes, string who, string why, CancellationToken stop) =>
        TextAsync(warning, () => desk.ShelveAsync(warning, time.GetUtcNow().AddMinutes(minutes), onlooker.Name ?? who, why, stop), stop);

    /// <inheritdoc/>
    public Task<string?> UnshelveAsync(string warning, string who, string why, CancellationToken stop) =>
        TextAsync(warning, () => desk.UnshelveAsync(warning, onlooker.Name ?? who, why, stop), stop);

    private async Task<bool> MayAsync(string warning, CancellationToken stop) => onlooker.May(Rights.AnswerWarnings) && await store.Warnings.FindAsync(warning, stop) is not null;

    private async Task<string?> TextAsync(string warning, Func<Task<Load.Fault?>> command, CancellationToken stop)
    {
        try
        {
            return await MayAsync(warning, stop) ? (await command())?.ToString() : Refused;
        }
        catch (NotStoredYetException waiting)
        {
            return waiting.Message;
        }
    }
}

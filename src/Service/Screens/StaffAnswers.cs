using Saltograph.Board.Live;
using Saltograph.Service.Warnings;

namespace Saltograph.Service.Screens;

/// <summary>Answers of staff on the page of warnings, given to the desk of the warnings.</summary>
internal sealed class StaffAnswers(WarningDesk desk, TimeProvider time) : IWarningStaff
{
    /// <inheritdoc/>
    public async Task<string?> AcknowledgeAsync(string warning, string who, string why, CancellationToken stop) =>
        (await desk.AcknowledgeAsync(warning, who, why, stop))?.ToString();

    /// <inheritdoc/>
    public async Task<string?> ShelveAsync(string warning, int minutes, string who, string why, CancellationToken stop) =>
        (await desk.ShelveAsync(warning, time.GetUtcNow().AddMinutes(minutes), who, why, stop))?.ToString();
}

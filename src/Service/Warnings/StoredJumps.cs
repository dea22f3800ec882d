using System.Runtime.CompilerServices;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>Reads the jumps of the last weeks page by page, oldest first.</summary>
internal static class StoredJumps
{
    private const int Page = 2000;

    /// <summary>Jumps that landed in the <see cref="LandingClasses.RecallDays"/> before a time.</summary>
    public static async IAsyncEnumerable<JumpRow> ReadAsync(HallStore store, long beforeUs, [EnumeratorCancellation] CancellationToken stop)
    {
        string? place = null;
        do
        {
            var page = await store.Jumps.PageAsync(
                new() { FromUs = beforeUs - (long)(LandingClasses.RecallDays * 86_400e6), BeforeUs = beforeUs, After = place, Limit = Page }, stop);
            foreach (var row in page.Jumps)
            {
                yield return row;
            }

            place = page.Next;
        }
        while (place is not null);
    }
}

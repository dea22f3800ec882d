using System.Text.Json;
using Saltograph.Service.Verbs;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Api;

/// <summary>Some jumps.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="Jumps">The jumps: id, session, day, and every key of the record.</param>
/// <param name="Next">Goes into <c>after</c> for the next page; null on the last one.</param>
internal sealed record JumpPageBody(string Caution, IReadOnlyList<JsonElement> Jumps, string? Next);

/// <summary>Answers questions for jumps.</summary>
internal sealed class JumpAnswers(HallView store)
{
    /// <summary>A page of jumps.</summary>
    public async Task<JumpPageBody> PageAsync(JumpFilter filter, CancellationToken stop)
    {
        var page = await store.Jumps.PageAsync(filter, stop);
        return new(Cautions.Line, [.. page.Jumps.Select(JumpText.Element)], page.Next);
    }

    /// <summary>One jump; null when there is none with this event id.</summary>
    public async Task<JsonElement?> FindAsync(string id, CancellationToken stop) => await store.Jumps.FindAsync(id, stop) is { } row ? JumpText.Element(row) : null;

    /// <summary>All jumps of a filter, page by page as they are read; its limit is the size of a page.</summary>
    public async IAsyncEnumerable<JumpRow> AllAsync(JumpFilter filter, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken stop)
    {
        for (var part = filter; ;)
        {
            var page = await store.Jumps.PageAsync(part, stop);
            foreach (var row in page.Jumps)
            {
                yield return row;
            }

            if (page.Next is null)
            {
                yield break;
            }

            part = part with { After = page.Next };
        }
    }
}

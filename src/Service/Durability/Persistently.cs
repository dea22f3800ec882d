using Saltograph.Service.Ingest;

namespace Saltograph.Service.Durability;

/// <summary>Tries to write until it works: what cannot be written must not be lost, and whoever waits for it waits.</summary>
internal static class Persistently
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(0.1);
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(5);

    /// <summary>Does it, again and again.</summary>
    /// <param name="what">Name in the log and on the health page.</param>
    /// <param name="write">Leaves nothing behind when it throws.</param>
    /// <param name="state">Gets failures and successes.</param>
    /// <param name="time">The clock of the waits.</param>
    /// <param name="stop">Gives up.</param>
    public static async Task<T> DoAsync<T>(string what, Func<Task<T>> write, DurabilityState state, TimeProvider time, CancellationToken stop)
    {
        Backoff? backoff = null;
        while (true)
        {
            try
            {
                var result = await write();
                state.Succeeded(what);
                return result;
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                throw;
            }
#pragma warning disable CA1031 // a disk and two databases throw many types; each means "not written, try again"
            catch (Exception problem)
#pragma warning restore CA1031
            {
                state.Failed(what, problem);
            }

            backoff ??= new(First, Longest, Random.Shared);
            await Task.Delay(backoff.Next(), time, stop);
        }
    }
}

namespace Saltograph.Testing;

/// <summary>Managed memory that a piece of work takes from the thread that runs it.</summary>
public static class Allocation
{
    private const int Passes = 3;

    /// <summary>
    /// Bytes allocated by <paramref name="work"/>: the least of three passes, after one that is not counted (compiling, first use).
    /// What the work itself allocates shows in every pass. The runtime's own tables grow now and then on whichever thread happens
    /// to run (7184 bytes, once in some hundred runs), which shows in one.
    /// </summary>
    /// <param name="work">Run four times in all, with the pass as its argument: 0 for the one not counted, then 1 to 3.</param>
    public static long LeastBytes(Action<int> work)
    {
        ArgumentNullException.ThrowIfNull(work);
        work(0);
        var least = long.MaxValue;
        for (var pass = 1; pass <= Passes; pass++)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            work(pass);
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }

        return least;
    }
}

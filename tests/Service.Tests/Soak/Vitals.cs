using System.Globalization;

namespace Saltograph.Service.Tests.Soak;

/// <summary>What the process holds, once for each simulated minute.</summary>
internal sealed class Vitals
{
    private readonly List<(double HeapMiB, int Handles, int Threads)> _minutes = [];

    /// <summary>Notes it after a full collection: what is left is held by somebody.</summary>
    public void Note()
    {
        GC.Collect(2, GCCollectionMode.Forced, blocking: true);
        GC.WaitForPendingFinalizers();
        GC.Collect(2, GCCollectionMode.Forced, blocking: true);
        _minutes.Add((GC.GetTotalMemory(forceFullCollection: false) / 1048576.0, Handles(), System.Diagnostics.Process.GetCurrentProcess().Threads.Count));
    }

    /// <summary>Slope of the second half, MiB in a minute: before, caches and histories of stated size fill.</summary>
    public double HeapSlopeMiBPerMinute => Slope([.. SecondHalf.Select(minute => minute.HeapMiB)]);

    /// <summary>Slope of the number of open handles in the second half, in a minute.</summary>
    public double HandleSlopePerMinute => Slope([.. SecondHalf.Select(minute => (double)minute.Handles)]);

    /// <summary>Handles now and after the first minute.</summary>
    public (int First, int Last) HandleCounts => (_minutes[0].Handles, _minutes[^1].Handles);

    /// <inheritdoc/>
    public override string ToString() => string.Create(
        CultureInfo.InvariantCulture,
        $"heap MiB {string.Join(' ', _minutes.Select(minute => minute.HeapMiB.ToString("0.0", CultureInfo.InvariantCulture)))}; handles {string.Join(' ', _minutes.Select(minute => minute.Handles))}; threads {string.Join(' ', _minutes.Select(minute => minute.Threads))}; second half: heap {HeapSlopeMiBPerMinute:+0.000;-0.000} MiB/min, handles {HandleSlopePerMinute:+0.00;-0.00} /min");

    private IEnumerable<(double HeapMiB, int Handles, int Threads)> SecondHalf => _minutes.Skip(_minutes.Count / 2);

    private static int Handles() => OperatingSystem.IsLinux() ? Directory.GetFileSystemEntries("/proc/self/fd").Length : System.Diagnostics.Process.GetCurrentProcess().HandleCount;

    // Least squares over equal steps.
    private static double Slope(double[] values)
    {
        if (values.Length < 2)
        {
            return 0;
        }

        var (middle, mean) = ((values.Length - 1) / 2.0, values.Average());
        return values.Select((value, i) => (i - middle) * (value - mean)).Sum() / values.Select((_, i) => (i - middle) * (i - middle)).Sum();
    }
}

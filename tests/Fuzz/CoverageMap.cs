using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using SharpFuzz.Common;

namespace Saltograph.Fuzz;

/// <summary>
/// Counts of the edges between basic blocks that instrumented code passes, one byte each, and which of them were ever seen. Counts are compared by their binary order of magnitude, so that
/// a loop that runs twice as often is something new, and one round more is not. One map for the process; instrumented code runs on one thread.
/// </summary>
public sealed unsafe class CoverageMap : IDisposable
{
    private const int Bytes = 1 << 16; // fixed by the instrumentation

    private static readonly byte[] Magnitudes = [.. Enumerable.Range(0, 256).Select(Magnitude)];

    private readonly byte* _counts;
    private readonly byte[] _seen = new byte[Bytes];

    /// <summary>Makes it, and lets instrumented code write to it.</summary>
    public CoverageMap()
    {
        _counts = (byte*)NativeMemory.AlignedAlloc(Bytes, 64);
        NativeMemory.Clear(_counts, Bytes);
        Trace.SharedMem = _counts;
        Trace.PrevLocation = 0;
    }

    /// <summary>Edges that were ever passed.</summary>
    public int Edges { get; private set; }

    /// <summary>Forgets what was counted since the last look.</summary>
    public void Begin()
    {
        NativeMemory.Clear(_counts, Bytes);
        Trace.PrevLocation = 0;
    }

    /// <summary>Takes what was counted, and begins anew.</summary>
    /// <returns>Whether an edge was passed, or passed in an order of magnitude, that was never seen before.</returns>
    public bool Take()
    {
        var isNew = false;
        for (var i = 0; i < Bytes; i += Vector256<byte>.Count)
        {
            if (Vector256.Load(_counts + i) == Vector256<byte>.Zero)
            {
                continue;
            }

            for (var j = i; j < i + Vector256<byte>.Count; j++)
            {
                var magnitude = Magnitudes[_counts[j]];
                if ((magnitude & ~_seen[j]) != 0)
                {
                    Edges += _seen[j] == 0 ? 1 : 0;
                    _seen[j] |= magnitude;
                    isNew = true;
                }
            }

            Vector256<byte>.Zero.Store(_counts + i);
        }

        Trace.PrevLocation = 0;
        return isNew;
    }

    /// <summary>Forgets what was ever seen.</summary>
    public void Forget()
    {
        Array.Clear(_seen);
        Edges = 0;
        Begin();
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Trace.SharedMem = null;
        NativeMemory.AlignedFree(_counts);
    }

    // 1, 2, 3, 4 to 7, 8 to 15, 16 to 31, 32 to 127, 128 and more: a bit for each.
    private static byte Magnitude(int count) => count switch
    {
        0 => 0,
        < 4 => (byte)(1 << (count - 1)),
        < 32 => (byte)(1 << (BitOperations.Log2((uint)count) + 1)),
        < 128 => 1 << 6,
        _ => 1 << 7,
    };
}

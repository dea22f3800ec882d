using System.Diagnostics;

namespace Saltograph.Fuzz;

/// <summary>What a target is, for the driver.</summary>
/// <param name="Name">Name.</param>
/// <param name="Longest">Longest input, bytes.</param>
/// <param name="IsCbor">Whether inputs are CBOR.</param>
/// <param name="Seeds">Right inputs to begin with.</param>
/// <param name="Words">Words of its language.</param>
public sealed record TargetPlan(string Name, int Longest, bool IsCbor, IReadOnlyList<byte[]> Seeds, IReadOnlyList<byte[]> Words);

/// <summary>An input that the target does not stand.</summary>
/// <param name="Input">The input.</param>
/// <param name="Problem">What happened.</param>
public sealed record Defect(byte[] Input, string Problem);

/// <summary>How far a campaign came.</summary>
/// <param name="Executions">Inputs that were tried.</param>
/// <param name="Seconds">Time that took.</param>
/// <param name="Edges">Edges between basic blocks that were passed.</param>
/// <param name="Corpus">The smallest inputs found that pass all of them.</param>
/// <param name="WorstMs">Longest that one input took, with whatever else the machine did meanwhile.</param>
/// <param name="MostAllocatedBytes">Most that one input made the target allocate.</param>
/// <param name="Defects">One for each place that failed.</param>
public sealed record CampaignResult(
    long Executions, double Seconds, int Edges, IReadOnlyList<byte[]> Corpus, double WorstMs, long MostAllocatedBytes, IReadOnlyList<Defect> Defects)
{
    /// <inheritdoc/>
    public override string ToString() => FormattableString.Invariant(
        $"{Executions} executions in {Seconds:0} s, {Edges} edges, corpus {Corpus.Count}, worst {WorstMs:0.0} ms, most {MostAllocatedBytes} bytes allocated, {Defects.Count} defects");
}

/// <summary>Tries changed inputs on one target, and keeps those that reach something new to change them further.</summary>
/// <param name="plan">The target.</param>
/// <param name="run">Tries one input; an exception is a defect.</param>
/// <param name="map">Where instrumented code counts.</param>
/// <param name="seed">Seed of chance.</param>
public sealed class Campaign(TargetPlan plan, Action<ReadOnlyMemory<byte>> run, CoverageMap map, int seed)
{
    /// <summary>One input may make the target allocate this much, bytes: 1000 times what the largest right one needs.</summary>
    public const long AllocationLimitBytes = 64 << 20;

    /// <summary>An input that takes longer hangs, s. Wide, since others use the machine too.</summary>
    public const double HangS = 20;

    private readonly List<byte[]> _corpus = [];
    private readonly Dictionary<string, Defect> _defects = new(StringComparer.Ordinal);
    private readonly Random _random = new(seed);
    private byte[] _current = [];
    private int _currentLength;
    private long _begun;
    private long _worstTicks;
    private long _mostAllocated;
    private long _executions;

    /// <summary>Ends when so many defects were found.</summary>
    public int MostDefects { get; init; } = 20;

    /// <summary>Says where it is, from time to time.</summary>
    public Action<CampaignResult>? Progress { get; init; }

    /// <summary>Called with the input when one hangs; it cannot be ended from inside.</summary>
    public Action<byte[]>? Hanging { get; init; }

    /// <summary>Tries inputs until there were enough of them.</summary>
    /// <param name="executions">How many.</param>
    /// <param name="kept">Inputs of earlier campaigns.</param>
    /// <param name="forS">At most so long, s.</param>
    public CampaignResult Run(long executions, IReadOnlyList<byte[]> kept, double forS = double.PositiveInfinity)
    {
        ArgumentNullException.ThrowIfNull(kept);
        map.Forget();
        _current = new byte[Math.Max(plan.Longest, kept.Concat(plan.Seeds).Max(input => input.Length))];
        var watch = Stopwatch.StartNew();
        using var guard = new Timer(_ => Guard(), null, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        foreach (var input in kept.Concat(plan.Seeds))
        {
            if (Try(input))
            {
                _corpus.Add(input);
            }
        }

        if (_corpus.Count == 0)
        {
            throw new InvalidOperationException($"{plan.Name}: no seed reaches instrumented code.");
        }

        var mutator = new Mutator(plan.Longest, plan.Words, plan.IsCbor, _random);
        var next = 10.0;
        while (_executions < executions && _defects.Count < MostDefects)
        {
            var input = mutator.Change(Choose(), Choose());
            if (Try(input))
            {
                _corpus.Add(input.ToArray());
            }

            if ((_executions & 0xFFF) == 0 && watch.Elapsed.TotalSeconds is var now)
            {
                if (now > forS)
                {
                    break;
                }

                if (now > next)
                {
                    next = now + 10;
                    Progress?.Invoke(Result(now, _corpus));
                }
            }
        }

        var reached = Result(watch.Elapsed.TotalSeconds, []); // before the map is forgotten
        return reached with { Corpus = Smallest() };
    }

    private CampaignResult Result(double seconds, IReadOnlyList<byte[]> corpus) =>
        new(_executions, seconds, map.Edges, corpus, 1000.0 * _worstTicks / Stopwatch.Frequency, _mostAllocated, [.. _defects.Values]);

    // Short inputs are quicker to try, and new ones are nearer to what is not known yet.
    private byte[] Choose()
    {
        var (a, b) = (Any(), Any());
        return a.Length <= b.Length || _random.Next(4) == 0 ? a : b;
    }

    private byte[] Any() => _corpus[_random.Next(3) == 0 ? _random.Next(_corpus.Count * 3 / 4, _corpus.Count) : _random.Next(_corpus.Count)];

    private bool Try(ReadOnlyMemory<byte> input)
    {
        input.CopyTo(_current); // for the guard
        _currentLength = input.Length;
        var before = GC.GetAllocatedBytesForCurrentThread();
        var begun = Stopwatch.GetTimestamp();
        Volatile.Write(ref _begun, begun);
        map.Begin();
        string? problem = null;
        try
        {
            run(input);
        }
        catch (Exception thrown)
        {
            problem = $"{thrown.GetType().Name}: {thrown.Message}\n{thrown.StackTrace?.Split('\n')[0].Trim()}";
        }

        var ticks = Stopwatch.GetTimestamp() - begun;
        Volatile.Write(ref _begun, 0);
        var allocated = GC.GetAllocatedBytesForCurrentThread() - before;
        _worstTicks = Math.Max(_worstTicks, ticks);
        _mostAllocated = Math.Max(_mostAllocated, allocated);
        _executions++;
        if (allocated > AllocationLimitBytes)
        {
            problem ??= FormattableString.Invariant($"{allocated} bytes allocated; allowed: {AllocationLimitBytes}\n");
        }

        if (problem is not null)
        {
            _defects.TryAdd(problem.Split('\n')[^1], new(input.ToArray(), problem));
        }

        return map.Take() && problem is null;
    }

    // The seeds of further campaigns: short inputs first, each that reaches something the shorter ones did not.
    private List<byte[]> Smallest()
    {
        map.Forget();
        var kept = new List<byte[]>();
        foreach (var input in _corpus.OrderBy(input => input.Length))
        {
            map.Begin();
            run(input);
            if (map.Take())
            {
                kept.Add(input);
            }
        }

        return kept;
    }

    private void Guard()
    {
        var begun = Volatile.Read(ref _begun);
        if (begun != 0 && Stopwatch.GetElapsedTime(begun).TotalSeconds > HangS)
        {
            Hanging?.Invoke(_current[.._currentLength]);
        }
    }
}

namespace Saltograph.Simulator.Network;

/// <summary>
/// Faults between sensor and hall, per packet. Defaults: a busy but healthy wireless network (common practice, no source):
/// one packet in 200 lost, more than half of them in bursts, as many doubled, one in 100 overtaken, a restart per sensor and hour.
/// </summary>
public sealed record NetworkOptions
{
    /// <summary>Samples in one packet. 1 to 512; default 24 (58 ms at 416 Hz). More make every event later, fewer cost radio time.</summary>
    public int SamplesPerPacket { get; init; } = 24;

    /// <summary>Chance that a packet is lost on its own. 0 to 1; default 0.002.</summary>
    public double LossProbability { get; init; } = 0.002;

    /// <summary>Chance that a burst of losses begins with a packet. 0 to 1; default 0.001.</summary>
    public double BurstProbability { get; init; } = 0.001;

    /// <summary>Mean length of a burst, exponential, s. 0 to 60; default 0.15 (three packets: the first and all within it).</summary>
    public double BurstS { get; init; } = 0.15;

    /// <summary>Chance that a packet arrives twice. 0 to 1; default 0.005.</summary>
    public double DuplicateProbability { get; init; } = 0.005;

    /// <summary>Chance that a packet is held up and overtaken. 0 to 1; default 0.01.</summary>
    public double ReorderProbability { get; init; } = 0.01;

    /// <summary>Longest hold-up, s. 0 to 10; default 0.3.</summary>
    public double ReorderS { get; init; } = 0.3;

    /// <summary>Shortest way from the last sample to the hall, s. 0 to 10; default 0.005.</summary>
    public double DelayS { get; init; } = 0.005;

    /// <summary>Mean of the additional, exponentially distributed delay, s. 0 to 10; default 0.008.</summary>
    public double JitterS { get; init; } = 0.008;

    /// <summary>
    /// Chance, per packet, that the sensor restarts: new boot id, numbers from zero, a clock that starts elsewhere, 1.5 to
    /// 2.5 s without samples. 0 to 1; default 1.6e-5 (once an hour at 17 packets a second).
    /// </summary>
    public double RebootProbability { get; init; } = 1.6e-5;

    /// <summary>
    /// Whether packets state the hall clock minus the device clock, from a second after power-up on; default true. The
    /// statement has the constant error of the sensor's time on the common time base (1 ms, one deviation, by default).
    /// False: only arrivals tell.
    /// </summary>
    public bool FirmwareKnowsOffset { get; init; } = true;

    /// <summary>What one exchange of times adds to that error, one deviation, s; drawn anew every 16 s. 0 to 0.1; default 0.0005.</summary>
    public double StatedOffsetErrorS { get; init; } = 0.0005;

    /// <summary>A network without faults or jitter, sensors that never restart; packets still take <see cref="DelayS"/>.</summary>
    public static NetworkOptions Faultless => new()
    {
        LossProbability = 0,
        BurstProbability = 0,
        DuplicateProbability = 0,
        ReorderProbability = 0,
        JitterS = 0,
        RebootProbability = 0,
        StatedOffsetErrorS = 0,
    };

    /// <summary>Throws <see cref="ArgumentException"/> that names every wrong key, what was found and what is allowed.</summary>
    public void Validate()
    {
        var faults = Faults().ToList();
        if (faults.Count > 0)
        {
#pragma warning disable MA0015 // The faulty argument is the record itself, which the message names key by key.
            throw new ArgumentException(string.Join(" ", faults));
#pragma warning restore MA0015
        }
    }

    /// <summary>What is wrong, one message per key; empty when nothing is.</summary>
    public IEnumerable<string> Faults()
    {
        if (SamplesPerPacket is < 1 or > 512)
        {
            yield return $"Network.SamplesPerPacket {SamplesPerPacket} must be inside 1 to 512.";
        }

        (string Key, double Value, double High)[] limits =
        [
            (nameof(LossProbability), LossProbability, 1),
            (nameof(BurstProbability), BurstProbability, 1),
            (nameof(BurstS), BurstS, 60),
            (nameof(DuplicateProbability), DuplicateProbability, 1),
            (nameof(ReorderProbability), ReorderProbability, 1),
            (nameof(ReorderS), ReorderS, 10),
            (nameof(DelayS), DelayS, 10),
            (nameof(JitterS), JitterS, 10),
            (nameof(RebootProbability), RebootProbability, 1),
            (nameof(StatedOffsetErrorS), StatedOffsetErrorS, 0.1),
        ];
        foreach (var (key, value, high) in limits)
        {
            if (!(value >= 0 && value <= high))
            {
                yield return FormattableString.Invariant($"Network.{key} {value} must be inside 0 to {high}.");
            }
        }
    }
}

namespace Saltograph.Simulator.Network;

/// <summary>Faults between sensor and hall, per packet. Defaults: a busy but healthy wireless network.</summary>
public sealed record NetworkOptions
{
    /// <summary>Samples in one packet. 1 to 512; default 26 (a sixteenth of a second at 416 Hz).</summary>
    public int SamplesPerPacket { get; init; } = 26;

    /// <summary>Chance that a packet is lost on its own. 0 to 1; default 0.002.</summary>
    public double LossProbability { get; init; } = 0.002;

    /// <summary>Chance that a burst of losses begins with a packet. 0 to 1; default 0.0002.</summary>
    public double BurstProbability { get; init; } = 0.0002;

    /// <summary>Mean length of a burst, s. 0 to 60; default 0.5.</summary>
    public double BurstS { get; init; } = 0.5;

    /// <summary>Chance that a packet arrives twice. 0 to 1; default 0.005.</summary>
    public double DuplicateProbability { get; init; } = 0.005;

    /// <summary>Chance that a packet is held up and overtaken. 0 to 1; default 0.01.</summary>
    public double ReorderProbability { get; init; } = 0.01;

    /// <summary>Longest hold-up, s. 0 to 10; default 0.3.</summary>
    public double ReorderS { get; init; } = 0.3;

    /// <summary>Shortest way from the last sample to the hall, s. 0 to 10; default 0.012.</summary>
    public double DelayS { get; init; } = 0.012;

    /// <summary>Mean of the additional, exponentially distributed delay, s. 0 to 10; default 0.008.</summary>
    public double JitterS { get; init; } = 0.008;

    /// <summary>Chance, per packet, that the sensor restarts: new boot id, clock and numbers from zero, 2 to 4 s without samples. 0 to 1; default 0.</summary>
    public double RebootProbability { get; init; }

    /// <summary>Whether packets state the hall clock minus the device clock (with the sensor's clock error); default false.</summary>
    public bool FirmwareKnowsOffset { get; init; }

    /// <summary>A network without faults or jitter; packets still take <see cref="DelayS"/>.</summary>
    public static NetworkOptions Faultless => new()
    {
        LossProbability = 0,
        BurstProbability = 0,
        DuplicateProbability = 0,
        ReorderProbability = 0,
        JitterS = 0,
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

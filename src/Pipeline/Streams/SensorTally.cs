namespace Saltograph.Pipeline.Streams;

/// <summary>Running counts of one sensor.</summary>
internal sealed class SensorTally
{
    private readonly long[] _outcomes = new long[Enum.GetValues<PacketOutcome>().Length];

    public long Lost { get; set; }

    public long Boots { get; set; }

    public long Samples { get; set; }

    public long Overtaken { get; set; }

    public SensorCounts Counts => new(
        _outcomes[(int)PacketOutcome.Accepted],
        _outcomes[(int)PacketOutcome.Duplicate],
        _outcomes[(int)PacketOutcome.Late],
        _outcomes[(int)PacketOutcome.StaleBoot],
        _outcomes[(int)PacketOutcome.Contradictory],
        _outcomes[(int)PacketOutcome.UnsupportedRate],
        _outcomes[(int)PacketOutcome.Rejected],
        Lost,
        Boots,
        Samples,
        Overtaken);

    public void Add(PacketOutcome outcome) => _outcomes[(int)outcome]++;

    public void CopyFrom(SensorTally other)
    {
        other._outcomes.CopyTo(_outcomes, 0);
        (Lost, Boots, Samples, Overtaken) = (other.Lost, other.Boots, other.Samples, other.Overtaken);
    }
}

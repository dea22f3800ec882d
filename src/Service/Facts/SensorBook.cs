using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Wire;

namespace Saltograph.Service.Facts;

/// <summary>One sensor as it was known last.</summary>
/// <param name="State">What it said of itself; null when nothing since the start.</param>
/// <param name="StateTime">When that came.</param>
/// <param name="Heard">Its last packet that was measured, to a tenth of a second; null when none since the start.</param>
/// <param name="Lost">Packets given up since the start.</param>
/// <param name="Rejected">Messages that were no packets since the start, by reason.</param>
internal sealed record KnownSensor(SensorState? State, SampleTime? StateTime, SampleTime? Heard, long Lost, IReadOnlyDictionary<string, long> Rejected)
{
    /// <summary>Charge that it told last, in its state or in a packet; null when it told none since the start.</summary>
    public double? BatteryPercent { get; init; }
}

/// <summary>Keeps what is known of each sensor of the roster, for whoever asks.</summary>
internal sealed class SensorBook : IFactSink, IDisposable
{
    private readonly Dictionary<SensorId, Entry> _entries = [];
    private readonly Dictionary<(AthleteId, Site), SensorId> _worn = [];
    private readonly IDisposable _states;

    /// <summary>Begins to listen.</summary>
    public SensorBook(SensorInbox inbox, Roster roster, TimeProvider time)
    {
        foreach (var athlete in roster.Athletes)
        {
            foreach (var (sensor, site) in roster.SensorsOf(athlete))
            {
                _entries[sensor] = new();
                _worn[(athlete, site)] = sensor;
            }
        }

        _states = inbox.States.Subscribe(told => Change(
            told.Sensor, entry => (entry.State, entry.StateTime, entry.BatteryPercent) = (told.State, HallClock.Now(time), told.State.BatteryPercent ?? entry.BatteryPercent)));
    }

    /// <inheritdoc/>
    public string Name => "sensors";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        switch (fact)
        {
            case LiveSummary live:
                foreach (var site in live.Sensors)
                {
                    if (_worn.TryGetValue((live.Athlete, site), out var heard))
                    {
                        Change(heard, entry => entry.Heard = live.Time);
                    }
                }

                break;
            case SensorReported { Sensor: { Kind: SensorFactKind.Gap } gap }:
                Change(gap.Sensor, entry => entry.Lost += gap.Count);
                break;
            case SensorReported { Sensor: { Kind: SensorFactKind.Battery } battery }:
                Change(battery.Sensor, entry => entry.BatteryPercent = battery.Count);
                break;
            case PacketRejected rejected:
                Change(rejected.Sensor, entry => entry.Rejected[rejected.Reason] = entry.Rejected.GetValueOrDefault(rejected.Reason) + 1);
                break;
            default:
                break;
        }

        return ValueTask.CompletedTask;
    }

    /// <summary>What is known of a sensor of the roster.</summary>
    public KnownSensor Of(SensorId sensor)
    {
        var entry = _entries[sensor];
        lock (entry)
        {
            return new(entry.State, entry.StateTime, entry.Heard, entry.Lost, new SortedDictionary<string, long>(entry.Rejected, StringComparer.Ordinal)) { BatteryPercent = entry.BatteryPercent };
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _states.Dispose();

    private void Change(SensorId sensor, Action<Entry> change)
    {
        if (_entries.TryGetValue(sensor, out var entry))
        {
            lock (entry)
            {
                change(entry);
            }
        }
    }

    private sealed class Entry
    {
        public SensorState? State { get; set; }

        public SampleTime? StateTime { get; set; }

        public double? BatteryPercent { get; set; }

        public SampleTime? Heard { get; set; }

        public long Lost { get; set; }

        public Dictionary<string, long> Rejected { get; } = new(StringComparer.Ordinal);
    }
}

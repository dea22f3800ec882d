using System.Collections.Concurrent;
using Saltograph.Board.Live;
using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Fitting;

/// <summary>Runs the checks of sensors that somebody looks at, on the packets as they come. Costs nothing while none runs.</summary>
internal sealed class SensorChecks(Roster roster, TimeProvider time) : ISensorChecks
{
    // Until then a sensor of which nothing was heard is not silent: packets come some times a second.
    private static readonly TimeSpan FirstPacket = TimeSpan.FromSeconds(2);

    private static readonly TimeSpan Unasked = TimeSpan.FromSeconds(30);

    private readonly ConcurrentDictionary<string, Running> _running = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<SensorId, bool> _inStep = new();

    /// <inheritdoc/>
    public void Begin(string athlete)
    {
        if (roster.Athletes.FirstOrDefault(known => known.Value == athlete) is { Value: not null } id)
        {
            _running[athlete] = new(roster.SensorsOf(id)) { Begun = time.GetUtcNow(), Asked = time.GetUtcNow() };
        }
    }

    /// <inheritdoc/>
    public void End(string athlete) => _running.TryRemove(athlete, out _);

    /// <inheritdoc/>
    public SensorCheck? Of(string athlete)
    {
        if (!_running.TryGetValue(athlete, out var running))
        {
            return null;
        }

        running.Asked = time.GetUtcNow();
        return running.Look(sensor => _inStep.TryGetValue(sensor, out var known) ? known : null, time.GetUtcNow() - running.Begun > FirstPacket);
    }

    /// <summary>Takes a packet that an athlete's measuring has taken.</summary>
    public void Take(AthleteId athlete, IncomingPacket packet)
    {
        if (!_running.TryGetValue(athlete.Value, out var running))
        {
            return;
        }

        if (time.GetUtcNow() - running.Asked > Unasked)
        {
            End(athlete.Value);
            return;
        }

        running.Take(packet);
    }

    /// <summary>Takes what became known about a sensor: whether its clock is in step.</summary>
    public void Take(SensorFact fact)
    {
        switch (fact.Kind)
        {
            case SensorFactKind.ClockSynchronised:
                _inStep[fact.Sensor] = true;
                break;
            case SensorFactKind.Reboot or SensorFactKind.ClockRestart or SensorFactKind.OffsetRefused:
                _inStep[fact.Sensor] = false;
                break;
            default:
                break; // of a step it is told when it is in step again
        }
    }

    private sealed class Running
    {
        private readonly Lock _gate = new();
        private readonly SortedDictionary<Site, SensorPackets> _sensors;
        private readonly FittingCheck _check;

        public Running(IReadOnlyDictionary<SensorId, Site> sensors)
        {
            _sensors = new(sensors.ToDictionary(worn => worn.Value, worn => new SensorPackets(worn.Key)));
            _check = new(sensors.Values);
        }

        public required DateTimeOffset Begun { get; init; }

        public DateTimeOffset Asked { get; set; }

        public void Take(IncomingPacket packet)
        {
            lock (_gate)
            {
                foreach (var (site, sensor) in _sensors)
                {
                    if (sensor.Sensor == packet.Sensor)
                    {
                        sensor.Take(packet, site, _check);
                    }
                }
            }
        }

        public SensorCheck Look(Func<SensorId, bool?> isInStep, bool isUnderWay)
        {
            lock (_gate)
            {
                var silent = _check.Silent;
                var found = _check.Found;
                return new(
                    _check.Step.ToString().ToLowerInvariant(),
                    _check.StoodShare,
                    _check.WasTooMuch,
                    found.GetValueOrDefault(Site.AnkleLeft)?.Found == Site.AnkleRight || found.GetValueOrDefault(Site.AnkleRight)?.Found == Site.AnkleLeft,
                    [.. _sensors.Select(worn =>
                    {
                        var packets = worn.Value.Counts(isInStep(worn.Value.Sensor));
                        return new CheckedSensor(worn.Value.Sensor.Value, worn.Key, FittingVerdict.Of(found[worn.Key], packets, silent.Contains(worn.Key) || (isUnderWay && packets.Received == 0), _check.Step));
                    })]);
            }
        }
    }
}

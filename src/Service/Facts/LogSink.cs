using System.Collections.Concurrent;
using System.Numerics;
using Saltograph.Imu;
using Saltograph.Pipeline;

namespace Saltograph.Service.Facts;

/// <summary>Writes jumps and what is said about sensors to the log.</summary>
internal sealed class LogSink(ServiceMetrics metrics, ILogger<LogSink> log) : IFactSink
{
    private readonly ConcurrentDictionary<SensorId, long> _rejected = new();

    /// <inheritdoc/>
    public string Name => "log";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        switch (fact)
        {
            case JumpMeasured { Jump: var jump } measured:
                log.JumpMeasured(jump.Number, measured.Athlete, jump.FlightTimeS, jump.HeightM, jump.Grade.ToString(), measured.EventId);
                break;
            case SensorReported { Sensor: var sensor } reported:
                Tell(reported.Athlete, sensor);
                break;
            case PacketRejected rejected:
                metrics.PacketRefused(rejected.Reason);
                var count = _rejected.AddOrUpdate(rejected.Sensor, 1, (_, before) => before + 1);
                if (BitOperations.IsPow2(count)) // a sensor that sends only garbage must not fill the log
                {
                    log.PacketRejected(rejected.Sensor, rejected.Athlete, rejected.Reason, rejected.Message, count);
                }

                break;
            case SessionCounted session:
                Tell(session);
                break;
            default:
                break;
        }

        return ValueTask.CompletedTask;
    }

    private void Tell(SessionCounted session)
    {
        foreach (var (sensor, counts) in session.Sensors)
        {
            log.SensorCounted(
                session.Athlete, sensor, counts.Accepted, counts.Lost, counts.Late, counts.Duplicates, counts.StaleBoots, counts.Contradictory,
                counts.Rejected + counts.UnsupportedRates, counts.Boots);
            metrics.PacketsCounted(sensor, counts);
        }

        foreach (var (why, count) in session.RefusedFlights)
        {
            log.FlightsRefused(session.Athlete, count, why);
            metrics.FlightsRefused(why, count);
        }
    }

    private void Tell(AthleteId athlete, in SensorFact sensor)
    {
        var level = sensor.Kind switch
        {
            SensorFactKind.Battery => LogLevel.Debug,
            SensorFactKind.ClockSynchronised or SensorFactKind.Returned or SensorFactKind.Gap => LogLevel.Information,
            _ => LogLevel.Warning,
        };
        log.SensorFact(level, sensor.Sensor, athlete, sensor.Site, sensor.Kind, sensor.Count, sensor.DurationS);
    }
}

using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Simulated;

/// <summary>A simulated hall: who wears what, and the packets that arrive.</summary>
/// <param name="options">What to simulate, and for how long.</param>
/// <param name="network">Faults on the way.</param>
/// <param name="hall">The hall's id in topics.</param>
internal sealed class SimulatedHall(SimulationOptions options, NetworkOptions network, HallId hall)
{
    private const double StepS = 0.25;

    private static readonly JsonSerializerOptions Indented = new(JsonSerializerDefaults.Web) { WriteIndented = true };

    private readonly IReadOnlyList<SimulatedSensor> _sensors = new HallSimulation(options, network).Sensors;

    /// <summary>The hall's id in topics.</summary>
    public HallId Hall => hall;

    /// <summary>All sensors.</summary>
    public IEnumerable<SensorId> Sensors => _sensors.Select(worn => worn.Sensor);

    /// <summary>Who wears what.</summary>
    public RosterOptions Roster => new()
    {
        Sensors = [.. _sensors.Select(worn => new RosterEntry { Sensor = worn.Sensor.Value, Athlete = worn.Athlete.Value, Site = worn.Site.Name() })],
    };

    /// <summary>The roster as the file <c>roster.json</c>.</summary>
    public string RosterJson() => JsonSerializer.Serialize(Roster, Indented);

    /// <summary>The packets in the order of their arrival, worked out as they are asked for; the same ones each time.</summary>
    /// <param name="start">Hall clock at time 0, which the packets know.</param>
    public IEnumerable<TimedPacket> Packets(SampleTime start)
    {
        var simulation = new HallSimulation(options, network, start.Microseconds);
        var arrived = new List<SimulatedPacket>();
        for (var untilS = StepS; untilS <= options.DurationS; untilS += StepS)
        {
            simulation.Advance(untilS, arrived);
            foreach (var packet in arrived)
            {
                yield return Timed(packet);
            }

            arrived.Clear();
            foreach (var athlete in simulation.Athletes)
            {
                athlete.Jumps.Clear(); // the truth of a long training must not pile up
                athlete.Distractors.Clear();
            }
        }

        simulation.Complete(arrived);
        foreach (var packet in arrived)
        {
            yield return Timed(packet);
        }
    }

    private static TimedPacket Timed(SimulatedPacket packet) => new(packet.ReceivedS, packet.Sensor.Sensor, packet.Bytes);
}

using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Simulated;

/// <summary>A simulated hall: who wears what, and the packets that arrive.</summary>
/// <param name="options">What to simulate.</param>
/// <param name="hall">The hall's id in topics.</param>
internal sealed class SimulatedHall(SimulationOptions options, HallId hall)
{
    private const double StepS = 0.25;

    private static readonly JsonSerializerOptions Indented = new(JsonSerializerDefaults.Web) { WriteIndented = true };

    /// <summary>The hall's id in topics.</summary>
    public HallId Hall => hall;

    /// <summary>Three sensors on each gymnast.</summary>
    public RosterOptions Roster { get; } = new()
    {
        Sensors =
        [
            .. from index in Enumerable.Range(0, options.AthleteCount)
               from site in Enum.GetValues<Site>()
               let athlete = SimulatedSession.PseudonymOf(index)
               select new RosterEntry { Sensor = SensorOf(athlete, site).Value, Athlete = athlete.Value, Site = site.Name() },
        ],
    };

    /// <summary>All sensors.</summary>
    public IEnumerable<SensorId> Sensors => Roster.Sensors.Select(entry => new SensorId(entry.Sensor));

    /// <summary>The roster as the file <c>roster.json</c>.</summary>
    public string RosterJson() => JsonSerializer.Serialize(Roster, Indented);

    /// <summary>The packets in the order of their arrival, worked out as they are asked for.</summary>
    public IEnumerable<TimedPacket> Packets()
    {
        var gymnasts = Enumerable.Range(0, options.AthleteCount)
            .Select(index => new AthleteSimulation(options, index, SimulatedSession.PseudonymOf(index))).ToArray();
        List<ImuSample>[][] samples = [.. gymnasts.Select(_ => new List<ImuSample>[] { [], [], [] })];
        PacketCutter[][] cutters = [.. gymnasts.Select((gymnast, index) => Cutters(gymnast.Athlete, index))];
        var arriving = new PriorityQueue<TimedPacket, double>();
        for (var untilS = StepS; untilS < options.DurationS; untilS += StepS)
        {
            for (var i = 0; i < gymnasts.Length; i++)
            {
                gymnasts[i].Produce(untilS, samples[i]);
                gymnasts[i].Jumps.Clear(); // the truth of an endless training must not pile up
                gymnasts[i].Distractors.Clear();
                for (var site = 0; site < Sites.Count; site++)
                {
                    arriving.EnqueueRange(cutters[i][site].Cut(samples[i][site]).Select(packet => (packet, packet.TimeS)));
                }
            }

            while (arriving.TryPeek(out var next, out var timeS) && timeS < untilS)
            {
                arriving.Dequeue();
                yield return next;
            }
        }
    }

    private static SensorId SensorOf(AthleteId athlete, Site site) => new($"{athlete}-{site.Name()}");

    private PacketCutter[] Cutters(AthleteId athlete, int index) =>
    [
        .. Enum.GetValues<Site>().Select(site => new PacketCutter(
            SensorOf(athlete, site), new((uint)((index * Sites.Count) + (int)site + 1)), options.Sensors.SampleRateHz)),
    ];
}

using Saltograph.Imu;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Session;
using Saltograph.Simulator.Truth;

namespace Saltograph.Simulator.Network;

/// <summary>
/// A hall of gymnasts in training without end, as packets in order of arrival: ask for those up to a time, again and again.
/// Memory stays bounded when the caller clears the truth lists.
/// </summary>
public sealed class HallSimulation
{
    /// <summary>Hall clock at the simulation's time 0 when nothing else is given: 2026-01-01T00:00:00Z, microseconds.</summary>
    public const long DefaultStartMicroseconds = 1_767_225_600_000_000;

    private const double PieceS = 0.05;
    private readonly AthleteSimulation[] _athletes;
    private readonly SensorUplink[][] _uplinks;
    private readonly PriorityQueue<SimulatedPacket, (double, long)> _inFlight = new();
    private double _nowS;
    private long _order;

    /// <summary>Prepares the hall. <see cref="SimulationOptions.DurationS"/> is not used: training goes on as long as asked.</summary>
    /// <param name="options">Gymnasts and sensors.</param>
    /// <param name="network">Faults on the way.</param>
    /// <param name="startMicroseconds">Hall clock at time 0, microseconds since 1970.</param>
    public HallSimulation(SimulationOptions options, NetworkOptions network, long startMicroseconds = DefaultStartMicroseconds)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(network);
        options.Validate();
        network.Validate();
        StartMicroseconds = startMicroseconds;
        _athletes = [.. Enumerable.Range(0, options.AthleteCount).Select(i => new AthleteSimulation(options, i, SimulatedSession.PseudonymOf(i)))];
        var random = new Pcg32(options.Seed, 0x5A17);
        var sensors = new List<SimulatedSensor>();
        _uplinks = new SensorUplink[_athletes.Length][];
        for (var i = 0; i < _athletes.Length; i++)
        {
            _uplinks[i] = new SensorUplink[Sites.Count];
            foreach (var site in Enum.GetValues<Site>())
            {
                var sensor = new SimulatedSensor(new($"imu-{_athletes[i].Athlete.Value}-{ShortNames[(int)site]}"), _athletes[i].Athlete, site);
                sensors.Add(sensor);
                _uplinks[i][(int)site] = new(
                    sensor, _athletes[i].SamplerAt(site), network, options.Sensors.SampleRateHz, startMicroseconds,
                    random.Fork((ulong)((i * Sites.Count) + (int)site)),
                    [.. options.Episodes.OfType<DeadSensor>().Where(dead => dead.AthleteIndex == i && dead.Site == site)]);
            }
        }

        Sensors = sensors;
    }

    /// <summary>Hall clock at time 0, microseconds since 1970.</summary>
    public long StartMicroseconds { get; }

    /// <summary>Every sensor with its athlete and site: what a roster would say.</summary>
    public IReadOnlyList<SimulatedSensor> Sensors { get; }

    /// <summary>The gymnasts, with the truth so far.</summary>
    public IReadOnlyList<AthleteSimulation> Athletes => _athletes;

    private static string[] ShortNames { get; } = ["trunk", "left", "right"];

    /// <summary>The hall clock at a simulated time.</summary>
    /// <param name="timeS">s on the true time base.</param>
    public SampleTime HallTime(double timeS) => new(StartMicroseconds + (long)Math.Round(timeS * 1e6));

    /// <summary>
    /// Ends the training: everyone finishes her element and stands for three seconds, packets that are not full go out.
    /// Appends all that is still to arrive; then every truth is known and the hall is done with.
    /// </summary>
    public void Complete(ICollection<SimulatedPacket> packets)
    {
        ArgumentNullException.ThrowIfNull(packets);
        for (var i = 0; i < _athletes.Length; i++)
        {
            var uplinks = _uplinks[i];
            var endS = Math.Max(_nowS, _athletes[i].Finish());
            _athletes[i].Run(endS, (site, raw) => uplinks[site].Take(raw, _inFlight, ref _order));
            foreach (var uplink in uplinks)
            {
                uplink.Complete(endS, _inFlight, ref _order);
            }
        }

        while (_inFlight.TryDequeue(out var packet, out _))
        {
            packets.Add(packet);
        }
    }

    /// <summary>Appends every packet that arrives before <paramref name="untilS"/>, in order of arrival.</summary>
    public void Advance(double untilS, ICollection<SimulatedPacket> packets)
    {
        ArgumentNullException.ThrowIfNull(packets);
        while (_nowS < untilS)
        {
            // In small pieces, so that what is under way stays small however far the caller jumps.
            _nowS = Math.Min(untilS, _nowS + PieceS);
            for (var i = 0; i < _athletes.Length; i++)
            {
                var uplinks = _uplinks[i];
                _athletes[i].Run(_nowS, (site, raw) => uplinks[site].Take(raw, _inFlight, ref _order));
            }

            while (_inFlight.TryPeek(out var packet, out _) && packet.ReceivedS < _nowS)
            {
                packets.Add(_inFlight.Dequeue());
            }
        }
    }
}

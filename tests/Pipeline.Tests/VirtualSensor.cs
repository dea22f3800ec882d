using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline.Tests;

/// <summary>A message on its way to the pipeline.</summary>
/// <param name="Sensor">From which sensor.</param>
/// <param name="Packet">Payload.</param>
/// <param name="Received">Arrival, hall clock.</param>
internal readonly record struct Message(SensorId Sensor, byte[] Packet, SampleTime Received);

/// <summary>
/// A sensor whose readings are a function of the true (hall) time, with a clock of its own. Standing still, it reads
/// gravity along z; every few seconds the trunk goes down, pushes off, flies 0.4 s and lands.
/// </summary>
internal sealed record VirtualSensor
{
    public const double FirstJumpS = 4;
    public const double JumpEveryS = 3;

    /// <summary>From the start of a jump's lowering to the landing, s.</summary>
    public const double LandingAfterS = 0.25 + 0.24 + FlightS;

    private const double FlightS = 0.4;
    private const double CountMps2 = 16 * Gravity.StandardMps2 / 32768;
    private const double CountRadps = 2000 * Angles.RadPerDeg / 32768;

    public required SensorId Sensor { get; init; }

    public required Site Site { get; init; }

    public BootId Boot { get; init; } = new(0xb007);

    public uint FirstSequence { get; init; }

    public int SamplesPerPacket { get; init; } = 24;

    public uint IntervalNs { get; init; } = 2_500_000;

    /// <summary>Interval that the packets state, when it differs.</summary>
    public uint? StatedIntervalNs { get; init; }

    /// <summary>Device clock when the hall clock shows <see cref="Start"/>, us.</summary>
    public long DeviceAtStartUs { get; init; } = 5_000_000;

    /// <summary>How much faster than the hall clock the device clock runs, ppm.</summary>
    public double SkewPpm { get; init; }

    /// <summary>Device times are whole multiples of this, us.</summary>
    public int ClockStepUs { get; init; } = 1;

    /// <summary>Whether packets state the offset.</summary>
    public bool KnowsOffset { get; init; }

    /// <summary>Charge that packets tell, per cent; null: they tell none.</summary>
    public int? BatteryPercent { get; init; }

    /// <summary>Error of the offset that packets state, s; positive puts samples too late.</summary>
    public double StatedErrorS { get; init; }

    /// <summary>Scale of the force by which a landing stops the fall; its time is that much shorter. 1: 4 g.</summary>
    public double Hardness { get; init; } = 1;

    public static SampleTime Start { get; } = new(1_795_543_200_000_000);

    /// <summary>Samples before the first one, so that the sensors are not in step.</summary>
    public double PhaseS { get; init; }

    public static IReadOnlyDictionary<SensorId, Site> Roster(params VirtualSensor[] sensors) =>
        sensors.ToDictionary(sensor => sensor.Sensor, sensor => sensor.Site);

    /// <summary>All packets from one hall time to another, with the time at which each was complete.</summary>
    public List<Message> Packets(double fromS, double toS)
    {
        var writer = new PacketWriter();
        var messages = new List<Message>();
        var counts = new short[6 * SamplesPerPacket];
        var intervalS = IntervalNs * 1e-9;
        var firstIndex = (long)Math.Ceiling((fromS - PhaseS) / intervalS);
        var packets = (long)((toS - fromS) / intervalS / SamplesPerPacket);
        for (var p = 0; p < packets; p++)
        {
            var index = firstIndex + (p * SamplesPerPacket);
            for (var i = 0; i < SamplesPerPacket; i++)
            {
                Read(PhaseS + ((index + i) * intervalS), counts.AsSpan(6 * i, 6));
            }

            var firstS = PhaseS + (index * intervalS);
            var lastS = PhaseS + ((index + SamplesPerPacket - 1) * intervalS);
            var header = new PacketHeader
            {
                Boot = Boot,
                Sequence = unchecked(FirstSequence + (uint)p),
                FirstSampleDeviceMicroseconds = DeviceUs(firstS),
                IntervalNanoseconds = StatedIntervalNs ?? IntervalNs,
                AccelerometerCountMps2 = CountMps2,
                GyroscopeCountRadps = CountRadps,
                BatteryPercent = BatteryPercent,
                HallMinusDeviceMicroseconds = KnowsOffset ? Start.Microseconds + (long)Math.Round((firstS + StatedErrorS) * 1e6) - DeviceUs(firstS) : null,
            };
            messages.Add(new(Sensor, writer.Write(header, counts), Start.PlusSeconds(lastS)));
        }

        return messages;
    }

    /// <summary>Device clock, us, at a hall time.</summary>
    public long DeviceUs(double hallS)
    {
        var exact = DeviceAtStartUs + (hallS * 1e6 * (1 + (SkewPpm * 1e-6)));
        return (long)Math.Floor(exact / ClockStepUs + 1e-6) * ClockStepUs;
    }

    private void Read(double hallS, Span<short> counts)
    {
        // A little noise, the same at the same time: a hash, so that packets may be cut anywhere.
        var hash = (uint)(hallS * 1e5) * 2654435761u;
        counts[0] = (short)((hash >> 8) % 9 - 4);
        counts[1] = (short)((hash >> 12) % 9 - 4);
        counts[2] = (short)Math.Round(Gravity.StandardMps2 * Load(hallS) / CountMps2 + ((hash >> 16) % 9) - 4);
        counts[3] = (short)((hash >> 20) % 5 - 2);
        counts[4] = (short)((hash >> 24) % 5 - 2);
        counts[5] = (short)((hash >> 28) % 5 - 2);
    }

    private double LandingG => 1 + (3 * Hardness);

    // Specific force in units of gravity. Velocity: -0.86 m/s after the lowering, +1.96 at take-off, -1.96 at landing, 0 after.
    private double Load(double hallS)
    {
        var t = hallS - FirstJumpS;
        t = t < 0 ? double.PositiveInfinity : t % JumpEveryS;
        return Site == Site.Trunk
            ? t switch { < 0.25 => 0.65, < 0.49 => 2.2, < LandingAfterS => 0, _ when t < LandingAfterS + (0.2 / (LandingG - 1)) => LandingG, _ => 1 }
            : t switch { < 0.49 => 1, < LandingAfterS => 0.05, < LandingAfterS + 0.02 => 8 * Hardness, _ => 1 };
    }
}

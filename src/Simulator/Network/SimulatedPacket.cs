using Saltograph.Imu;

namespace Saltograph.Simulator.Network;

/// <summary>Which simulated sensor sits where.</summary>
/// <param name="Sensor">As in topics.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Site">Where on the body.</param>
public sealed record SimulatedSensor(SensorId Sensor, AthleteId Athlete, Site Site);

/// <summary>One packet as the hall receives it.</summary>
/// <param name="Sensor">Who sent it.</param>
/// <param name="SentS">When it left the sensor, s on the true time base.</param>
/// <param name="ReceivedS">When it arrives, s on the true time base.</param>
/// <param name="Bytes">The packet (CBOR).</param>
public sealed record SimulatedPacket(SimulatedSensor Sensor, double SentS, double ReceivedS, ReadOnlyMemory<byte> Bytes);

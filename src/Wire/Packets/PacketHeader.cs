using Saltograph.Imu;

namespace Saltograph.Wire.Packets;

/// <summary>Everything in a packet but its samples. (sensor, boot, sequence) names the packet.</summary>
public readonly record struct PacketHeader
{
    /// <summary>Which power-up of the sensor.</summary>
    public BootId Boot { get; init; }

    /// <summary>Number of the packet since power-up, +1 per packet; wraps from 4294967295 to 0.</summary>
    public uint Sequence { get; init; }

    /// <summary>Device clock at the first sample, microseconds, 0 to 2^62.</summary>
    public long FirstSampleDeviceMicroseconds { get; init; }

    /// <summary>Time from sample to sample on the device clock, nanoseconds, at least 1. 416 Hz is 2403846.</summary>
    public uint IntervalNanoseconds { get; init; }

    /// <summary>What one count of the accelerometer is, m/s2, above 0. Sixteen [g] over 32768 counts is 0.004788.</summary>
    public double AccelerometerCountMps2 { get; init; }

    /// <summary>What one count of the gyroscope is, rad/s, above 0. 2000 deg/s over 32768 counts is 0.001065.</summary>
    public double GyroscopeCountRadps { get; init; }

    /// <summary>What one count of the magnetometer is, uT, above 0; null without magnetometer.</summary>
    public double? MagnetometerCountUT { get; init; }

    /// <summary>Sensor temperature in 0.01 Cel; null when not sent, or outside -273.15 to 1000 Cel.</summary>
    public int? TemperatureCentiCelsius { get; init; }

    /// <summary>Battery in per cent, 0 to 100; null when not sent or above 100.</summary>
    public int? BatteryPercent { get; init; }

    /// <summary>Hall clock minus device clock in microseconds, as the firmware knows it; null when it does not.</summary>
    public long? HallMinusDeviceMicroseconds { get; init; }

    /// <summary>Device clock at a sample, microseconds, rounded to the nearest.</summary>
    /// <param name="index">Number of the sample in the packet, from 0.</param>
    public long DeviceMicroseconds(int index) =>
        FirstSampleDeviceMicroseconds + ((((long)index * IntervalNanoseconds) + 500) / 1000);
}

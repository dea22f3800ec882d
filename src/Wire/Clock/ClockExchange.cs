namespace Saltograph.Wire.Clock;

/// <summary>
/// The four-timestamp exchange of RFC 5905 section 8: the sensor asks (T1), the hall notes when the request came (T2) and
/// when its answer left (T3), the sensor notes when the answer came (T4). All in microseconds, T1 and T4 on the device
/// clock, T2 and T3 on the hall clock.
/// </summary>
/// <param name="DeviceSentMicroseconds">T1.</param>
/// <param name="HallReceivedMicroseconds">T2.</param>
/// <param name="HallSentMicroseconds">T3.</param>
/// <param name="DeviceReceivedMicroseconds">T4.</param>
public readonly record struct ClockExchange(
    long DeviceSentMicroseconds,
    long HallReceivedMicroseconds,
    long HallSentMicroseconds,
    long DeviceReceivedMicroseconds)
{
    /// <summary>
    /// Hall clock minus device clock, microseconds: ((T2 - T1) + (T3 - T4)) / 2, rounded down. Wrong by at most half of
    /// <see cref="DelayMicroseconds"/>, whatever the way there and back take.
    /// </summary>
    public long OffsetMicroseconds =>
        ((HallReceivedMicroseconds - DeviceSentMicroseconds) + (HallSentMicroseconds - DeviceReceivedMicroseconds)) >> 1;

    /// <summary>
    /// Time on the way there and back, microseconds: (T4 - T1) - (T3 - T2), not below 0: clocks of different speed can make
    /// the sum negative on a fast network (RFC 5905 section 8).
    /// </summary>
    public long DelayMicroseconds => Math.Max(
        0,
        (DeviceReceivedMicroseconds - DeviceSentMicroseconds) - (HallSentMicroseconds - HallReceivedMicroseconds));
}

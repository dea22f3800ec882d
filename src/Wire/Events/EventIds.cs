using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Wire.Events;

/// <summary>
/// Ids of events, repeatable: made only of what was measured, never of when or in which order it arrived, so that replaying
/// a recording yields the same ids and a receiver can drop what it has seen.
/// </summary>
public static class EventIds
{
    /// <summary>
    /// Id of something that one sensor's sample marks, such as the sample of a first contact:
    /// <c>{athlete}.{sensor}.{boot}.{device microseconds}.{kind}</c>.
    /// </summary>
    /// <param name="kind">A word per event type: <c>jump</c>, <c>landing</c>.</param>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="sensor">The sensor whose clock is meant.</param>
    /// <param name="boot">The power-up whose clock is meant.</param>
    /// <param name="deviceMicroseconds">Device clock of the sample, not the hall clock: that one depends on delays.</param>
    public static string OfSample(string kind, AthleteId athlete, SensorId sensor, BootId boot, long deviceMicroseconds) =>
        string.Create(CultureInfo.InvariantCulture, $"{athlete}.{sensor}.{boot.Value:x8}.{deviceMicroseconds}.{kind}");
}

namespace Saltograph.Imu;

/// <summary>
/// An instant on one clock, in whole microseconds. Which clock (a sensor's own, the hall's, a file's) belongs to the name
/// of the variable; times of two clocks must not be compared. The default value is the zero of its clock.
/// </summary>
/// <param name="Microseconds">Microseconds since the zero of the clock; the hall clock counts from 1970-01-01T00:00:00Z.</param>
public readonly record struct SampleTime(long Microseconds) : IComparable<SampleTime>
{
    /// <summary>Seconds since the zero of the clock. Exact to 1 us for 140 years around zero.</summary>
    public double Seconds => Microseconds * 1e-6;

    /// <summary>The instant nearest to a number of seconds.</summary>
    /// <param name="seconds">Seconds since the zero of the clock, finite, within +-9e12.</param>
    public static SampleTime FromSeconds(double seconds) => new((long)Math.Round(seconds * 1e6));

    /// <summary>Difference in seconds, positive when <paramref name="a"/> is later.</summary>
    public static double operator -(SampleTime a, SampleTime b) => (a.Microseconds - b.Microseconds) * 1e-6;

    /// <summary>Whether a is earlier.</summary>
    public static bool operator <(SampleTime a, SampleTime b) => a.Microseconds < b.Microseconds;

    /// <summary>Whether a is later.</summary>
    public static bool operator >(SampleTime a, SampleTime b) => a.Microseconds > b.Microseconds;

    /// <summary>Whether a is earlier or the same.</summary>
    public static bool operator <=(SampleTime a, SampleTime b) => a.Microseconds <= b.Microseconds;

    /// <summary>Whether a is later or the same.</summary>
    public static bool operator >=(SampleTime a, SampleTime b) => a.Microseconds >= b.Microseconds;

    /// <summary>The instant this many seconds later (earlier when negative), to the nearest microsecond.</summary>
    /// <param name="seconds">Any finite number of seconds.</param>
    public SampleTime PlusSeconds(double seconds) => new(Microseconds + (long)Math.Round(seconds * 1e6));

    /// <inheritdoc/>
    public int CompareTo(SampleTime other) => Microseconds.CompareTo(other.Microseconds);
}

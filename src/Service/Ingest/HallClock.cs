using Saltograph.Imu;

namespace Saltograph.Service.Ingest;

/// <summary>The hall's clock: UTC in microseconds since 1970.</summary>
internal static class HallClock
{
    /// <summary>The time now.</summary>
    public static SampleTime Now(TimeProvider time) => Of(time.GetUtcNow());

    /// <summary>A date and time on the hall's clock.</summary>
    public static SampleTime Of(DateTimeOffset instant) => new((instant.UtcTicks - DateTime.UnixEpoch.Ticks) / TimeSpan.TicksPerMicrosecond);

    /// <summary>An instant of the hall's clock as a date and time.</summary>
    public static DateTimeOffset ToDateTime(SampleTime hall) => DateTimeOffset.UnixEpoch.AddTicks(hall.Microseconds * TimeSpan.TicksPerMicrosecond);
}

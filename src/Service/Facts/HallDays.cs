using System.Globalization;
using Saltograph.Imu;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Facts;

/// <summary>The days of a hall: they begin at midnight of its zone.</summary>
internal sealed class HallDays(TimeZoneInfo zone)
{
    /// <summary>The day of an instant, <c>yyyy-MM-dd</c>.</summary>
    public string Of(SampleTime hall) =>
        TimeZoneInfo.ConvertTime(HallClock.ToDateTime(hall), zone).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}

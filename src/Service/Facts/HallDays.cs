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

    /// <summary>Begin of a day, inside, and its end, outside; 23 to 25 hours where clocks are changed.</summary>
    public (SampleTime From, SampleTime To) Bounds(string day)
    {
        var date = DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture);
        return (Begin(date), Begin(date.AddDays(1)));
    }

    private SampleTime Begin(DateOnly date)
    {
        var midnight = date.ToDateTime(TimeOnly.MinValue);
        while (zone.IsInvalidTime(midnight))
        {
            midnight = midnight.AddMinutes(15); // zones that change their clocks at midnight: the day begins later
        }

        var offset = zone.IsAmbiguousTime(midnight) ? zone.GetAmbiguousTimeOffsets(midnight).Max() : zone.GetUtcOffset(midnight);
        return HallClock.Of(new(midnight, offset));
    }
}

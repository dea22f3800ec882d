using System.Globalization;

namespace Saltograph.Board.Text;

/// <summary>Instants in the hall's zone, for reading.</summary>
public sealed class HallTime(TimeZoneInfo zone, TimeProvider time)
{
    /// <summary>The zone's name.</summary>
    public string Zone => zone.Id;

    /// <summary>Now.</summary>
    public DateTimeOffset Now => TimeZoneInfo.ConvertTime(time.GetUtcNow(), zone);

    /// <summary>Today.</summary>
    public DateOnly Today => DateOnly.FromDateTime(Now.DateTime);

    /// <summary>Now, us since 1970.</summary>
    public long NowUs => Us(time.GetUtcNow());

    /// <summary>Hours, minutes, seconds.</summary>
    public string Clock(long us) => At(us).ToString("HH:mm:ss", CultureInfo.InvariantCulture);

    /// <summary>Hours and minutes.</summary>
    public string Minute(DateTimeOffset instant) => TimeZoneInfo.ConvertTime(instant, zone).ToString("HH:mm", CultureInfo.InvariantCulture);

    /// <summary>Day, month and time.</summary>
    public string DayClock(long us) => At(us).ToString("d MMM, HH:mm:ss", CultureInfo.InvariantCulture);

    /// <summary>The day of an instant.</summary>
    public DateOnly Day(long us) => DateOnly.FromDateTime(At(us).DateTime);

    /// <summary>Midnight at which a day begins, us since 1970.</summary>
    public long BeginsUs(DateOnly day)
    {
        var local = day.ToDateTime(TimeOnly.MinValue);
        return Us(new DateTimeOffset(local, zone.GetUtcOffset(local)));
    }

    /// <summary>A day for addresses and the store.</summary>
    public static string Iso(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>A day for reading.</summary>
    public static string Name(DateOnly day) => day.ToString("ddd d MMM", CultureInfo.InvariantCulture);

    private static long Us(DateTimeOffset instant) => (instant - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond;

    private DateTimeOffset At(long us) => TimeZoneInfo.ConvertTime(DateTimeOffset.UnixEpoch.AddTicks(us * TimeSpan.TicksPerMicrosecond), zone);
}

using System.Globalization;
using System.Text.Json;
using Saltograph.Load;
using Saltograph.Service.Facts;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Api;

/// <summary>Days of one athlete as the curves want them.</summary>
internal static class LoadDays
{
    /// <summary>What a day's load may be: number of jumps, sum of heights in m, exertion times minutes.</summary>
    public static readonly IReadOnlyList<string> Measures = ["jumps", "height", "exertion"];

    /// <summary>A day as text.</summary>
    public static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>A day from text.</summary>
    public static DateOnly Day(string text) => DateOnly.ParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>Session load of a training; null while it runs or without exertion.</summary>
    public static double? LoadAu(SessionRow session)
    {
        var minutes = session.Minutes ?? (session.ClosedUs - session.OpenedUs) / 60e6;
        return minutes is > 0 and <= 1440 && session.Exertion is >= 0 and <= 10 ? SessionLoad.OfAu(session.Exertion, minutes) : null;
    }

    /// <summary>Day by day, from the first of which anything is known to the last that is asked for.</summary>
    public static IReadOnlyList<DayEntry> Of(
        string measure, DateOnly last, IEnumerable<DayLoad> loads, IEnumerable<SessionRow> sessions, IEnumerable<PlanRow> plans, HallDays days)
    {
        var byDay = loads.ToDictionary(load => Day(load.Day));
        var trainings = sessions.ToLookup(session => Day(days.Of(new(session.OpenedUs))));
        var rests = plans.Where(IsRest).Select(plan => Day(plan.Day)).ToHashSet();
        var known = byDay.Keys.Concat(trainings.Select(day => day.Key)).Concat(rests).Where(day => day <= last).ToList();
        if (known.Count == 0)
        {
            return [];
        }

        var entries = new List<DayEntry>();
        for (var day = known.Min(); day <= last; day = day.AddDays(1))
        {
            entries.Add(Entry(measure, day, byDay.GetValueOrDefault(day), [.. trainings[day]], rests.Contains(day)));
        }

        return entries;
    }

    private static DayEntry Entry(string measure, DateOnly day, DayLoad? load, SessionRow[] sessions, bool isRest)
    {
        if (load is null && sessions.Length == 0)
        {
            return isRest ? DayEntry.Rest(day) : DayEntry.NoData(day);
        }

        if (measure == "exertion")
        {
            var entered = sessions.Select(LoadAu).OfType<double>().ToArray();
            return entered.Length == 0 ? DayEntry.NoData(day)
                : entered.Length < sessions.Length ? DayEntry.Partial(day, entered.Sum())
                : DayEntry.Data(day, entered.Sum());
        }

        var value = measure == "height" ? load?.HeightSumM ?? 0 : load?.Jumps ?? 0;
        return sessions.Any(session => session.ClosedUs is null) ? DayEntry.Partial(day, value) : DayEntry.Data(day, value);
    }

    // A plan of 0 jumps on a day without any is how staff say that it was free.
    private static bool IsRest(PlanRow plan)
    {
        using var limits = JsonDocument.Parse(plan.Limits);
        return plan.Kind == PlanRow.PlanKind
            && limits.RootElement.ValueKind == JsonValueKind.Object
            && limits.RootElement.TryGetProperty("jumps", out var jumps)
            && jumps.ValueKind == JsonValueKind.Number
            && jumps.GetDouble() == 0;
    }
}

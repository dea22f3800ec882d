using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Counts hard landings of each leg.</summary>
internal sealed class LandingCountWatch(LandingCountRule rule, AthleteId athlete, Journal journal) : Watch(rule, athlete, journal)
{
    private readonly SortedDictionary<string, Series> _series = new(StringComparer.Ordinal);
    private readonly int _longest = Math.Max(10, rule.Criteria.Max(criterion => Math.Max(criterion.Count, criterion.WithinLandings ?? 100)));

    public override SampleTime? NextDue
    {
        get
        {
            var raised = _series.Values.Where(series => series.IsRaised).Select(series => series.LastHard).ToList();
            return raised.Count == 0 ? null : raised.Min().PlusSeconds(rule.ClearAfterS);
        }
    }

    public override void Due(SampleTime at)
    {
        foreach (var (subject, series) in _series.Where(pair => pair.Value.IsRaised && pair.Value.LastHard.PlusSeconds(rule.ClearAfterS) <= at))
        {
            Clear(subject, series, at);
        }
    }

    public override void Landed(LandingVerdict landing, IReadOnlyList<CountedJump> session, SampleTime at)
    {
        if (!landing.IsMeasured)
        {
            return;
        }

        var subject = Words(landing.Jump.LandingLeg);
        if (!_series.TryGetValue(subject, out var series))
        {
            _series[subject] = series = new();
        }

        series.Landings.Add((landing.Jump.LandingTime, landing.Class, landing.Jump.Id));
        if (series.Landings.Count > _longest)
        {
            series.Landings.RemoveAt(0);
        }

        if (!landing.IsHard)
        {
            series.NotHard++;
            if (series.IsRaised && series.NotHard >= rule.ClearAfterLandings)
            {
                Clear(subject, series, at);
            }

            return;
        }

        series.NotHard = 0;
        series.LastHard = at;
        if (!series.IsRaised && rule.Criteria.FirstOrDefault(criterion => landing.Class >= criterion.AtLeast && Hits(series, criterion, landing.Jump.LandingTime).Count >= criterion.Count) is { } met)
        {
            series.IsRaised = true;
            Point(subject).Set(true, at, Detail(subject, met, Hits(series, met, landing.Jump.LandingTime)));
        }
    }

    // By the times of the landings: several that were heard late came together, and were not landed together.
    private static List<string> Hits(Series series, LandingCriterion criterion, SampleTime landed) =>
        [.. series.Landings.TakeLast(criterion.WithinLandings ?? int.MaxValue)
            .Where(landing => landing.Class >= criterion.AtLeast && !(Math.Abs(landed - landing.Time) > criterion.WithinS))
            .Select(landing => landing.Jump)];

    private static WarningDetail Detail(string subject, LandingCriterion met, List<string> hits)
    {
        var what = met.AtLeast == LandingClass.Saturated ? "saturated" : "hard";
        var within = (met.WithinLandings, met.WithinS) switch
        {
            ({ } landings, { } s) => $" within {landings} landings and {Text(s)} s",
            ({ } landings, null) => $" within {landings} landings",
            (null, { } s) => $" within {Text(s)} s",
            _ => "",
        };
        return new($"{hits.Count} {what} landing{(hits.Count == 1 ? "" : "s")}{within}, leg: {subject}.", hits.Count, met.Count, [.. hits.TakeLast(10)]);
    }

    // The landings that led to the warning do not lead to the next one.
    private void Clear(string subject, Series series, SampleTime at)
    {
        series.IsRaised = false;
        series.Landings.Clear();
        Point(subject).Set(false, at);
    }

    private sealed class Series
    {
        public List<(SampleTime Time, LandingClass Class, string Jump)> Landings { get; } = [];

        public int NotHard { get; set; }

        public bool IsRaised { get; set; }

        public SampleTime LastHard { get; set; }
    }
}

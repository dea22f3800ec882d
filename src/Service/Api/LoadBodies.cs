using Saltograph.Load;

namespace Saltograph.Service.Api;

/// <summary>Counts and sums of some days: nothing averaged or weighted.</summary>
/// <param name="FromDay">First day.</param>
/// <param name="ToDay">Last day, included.</param>
/// <param name="Jumps">Number of jumps.</param>
/// <param name="Takeoffs">By take-off leg.</param>
/// <param name="Landings">By landing leg.</param>
/// <param name="Forms">By form; null is not known.</param>
/// <param name="HeightBands">By height, m.</param>
/// <param name="HeightSumM">Sum of the heights, m.</param>
/// <param name="ShockBands">By shock of the landing ankle, g.</param>
/// <param name="ShockUnmeasured">Jumps without such a shock.</param>
/// <param name="ShockSums">Sums of shock to the n by site; with saturated landings the sum is "at least".</param>
/// <param name="MostInOneMinute">Most landings inside 60 s.</param>
/// <param name="SessionLoadAu">Sum of exertion times minutes of the trainings that begin in these days; null when none has both.</param>
internal sealed record AccountBody(
    string FromDay,
    string ToDay,
    int Jumps,
    LegCounts Takeoffs,
    LegCounts Landings,
    IReadOnlyList<FormCount> Forms,
    IReadOnlyList<HeightBand> HeightBands,
    double HeightSumM,
    IReadOnlyList<ShockBand> ShockBands,
    int ShockUnmeasured,
    IReadOnlyList<ShockSum> ShockSums,
    int MostInOneMinute,
    double? SessionLoadAu);

/// <summary>A day on the curves, in the unit of the measure.</summary>
/// <param name="Day">The day.</param>
/// <param name="State"><c>data</c>, <c>partial</c> (at least this load), <c>rest</c> (nothing measured and a plan of 0 jumps) or <c>no-data</c>.</param>
/// <param name="Load">Load; null without data.</param>
/// <param name="Acute">Exponentially weighted over 7 days; null before the first known day.</param>
/// <param name="Chronic">Over 28 days; null until 28 days are known.</param>
/// <param name="KnownDays">Days known so far.</param>
/// <param name="MissingIn28">Days without data among the last 28.</param>
/// <param name="PartialIn28">Partial days among them: the curves are then lower bounds.</param>
internal sealed record CurveDayBody(DateOnly Day, DayState State, double? Load, double? Acute, double? Chronic, int KnownDays, int MissingIn28, int PartialIn28);

/// <summary>The ratio of the two curves, for display beside its caveat; it drives no warning.</summary>
/// <param name="Ratio">Acute over chronic; null while the chronic curve is hidden or 0.</param>
/// <param name="Caveat">What must be said beside it.</param>
internal sealed record RatioBody(double? Ratio, string Caveat);

/// <summary>Osteogenic index, when the ground reaction force is known from elsewhere.</summary>
/// <param name="PeakForceBw">Mean peak ground reaction force that was given, body weights; null: none was.</param>
/// <param name="DayBw">Index of the day, body weights.</param>
/// <param name="WeekBw">Sum of the seven days, body weights.</param>
/// <param name="Caveat">Source, and what must be said beside it.</param>
internal sealed record OsteogenicBody(double? PeakForceBw, double? DayBw, double? WeekBw, string Caveat);

/// <summary>Load of one athlete.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Measure">What week and curve are of: <c>jumps</c> (1), <c>height</c> (m) or <c>exertion</c> (AU).</param>
/// <param name="Today">The day asked for.</param>
/// <param name="Days7">The 7 days that end with it.</param>
/// <param name="Days28">The 28 days that end with it.</param>
/// <param name="Week">Sum, change, monotony and strain of the 7 days, with both standard deviations: over n and over n - 1.</param>
/// <param name="Curve">The last 28 days on the acute and the chronic curve.</param>
/// <param name="AcuteToChronic">Their ratio.</param>
/// <param name="OsteogenicIndex">Offer to bone.</param>
internal sealed record LoadBody(
    string Caution,
    string Athlete,
    string Measure,
    AccountBody Today,
    AccountBody Days7,
    AccountBody Days28,
    WeekLoad Week,
    IReadOnlyList<CurveDayBody> Curve,
    RatioBody AcuteToChronic,
    OsteogenicBody OsteogenicIndex);

/// <summary>One athlete of the squad.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="JumpsToday">Jumps of the day.</param>
/// <param name="Jumps7Days">Jumps of 7 days.</param>
/// <param name="Jumps28Days">Jumps of 28 days.</param>
/// <param name="Week">Sum, change, monotony and strain.</param>
/// <param name="Today">The day on the curves; null when nothing is known of her.</param>
internal sealed record SquadLineBody(string Athlete, long JumpsToday, long Jumps7Days, long Jumps28Days, WeekLoad Week, CurveDayBody? Today);

/// <summary>Load of the squad.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="Day">The day asked for.</param>
/// <param name="Measure">As for one athlete.</param>
/// <param name="Athletes">By pseudonym.</param>
internal sealed record SquadBody(string Caution, string Day, string Measure, IReadOnlyList<SquadLineBody> Athletes);

using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Verbs;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.Api;

/// <summary>Works out what changed beyond error: inside a training, between the sides, and how large error is.</summary>
internal sealed class ChangeAnswers(HallView store, HallConfiguration configuration)
{
    /// <summary>Fewest pairs of trainings for a standard error.</summary>
    public const int FewestPairs = 10;

    /// <summary>How far back trainings before the first one are looked up, days.</summary>
    public const double BaselineDays = 84;

    private const int Page = 10_000;

    private static readonly ChangeMeasure[] Measures = Enum.GetValues<ChangeMeasure>();

    /// <summary>Change inside a training; null when there is no such training.</summary>
    public async Task<SessionChangeBody?> OfSessionAsync(string id, CancellationToken stop)
    {
        if (await store.Sessions.FindAsync(id, stop) is not { } session)
        {
            return null;
        }

        var options = FatigueOf(configuration.Warnings);
        var jumps = await JumpsAsync(new() { Session = id }, stop);
        var changes = SessionChange.Of(jumps.Select(jump => jump.Jump), options);
        return new(Cautions.Line, id, session.Athlete, jumps.Count, options.FewestJumps, [.. changes.Select(change => Body(change, options))]);
    }

    /// <summary>The sides of an athlete, training by training; without trainings when nothing is known of her.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="form">Form; null for that of the rule in force.</param>
    /// <param name="from">Trainings that go on after this.</param>
    /// <param name="before">Trainings that began before this.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<SidesBody> SidesAsync(string athlete, ElementForm? form, SampleTime from, SampleTime before, CancellationToken stop)
    {
        var rule = AsymmetryOf(configuration.Warnings);
        var compared = form ?? rule.Form;
        var earliestUs = from.PlusSeconds(-BaselineDays * 86_400).Microseconds;
        var sessions = await store.Sessions.OverlappingAsync(athlete, earliestUs, before.Microseconds, stop);
        var filter = new JumpFilter { Athlete = athlete, Form = WarningJson.Word(compared), FromUs = earliestUs, Records = JumpRecords.OfSaturated };
        var ofSession = (await JumpsAsync(filter, stop)).ToLookup(jump => jump.Session, jump => jump.Jump, StringComparer.Ordinal);
        List<List<CountedJump>> landed = [.. sessions.Select(session => ofSession[session.Id].ToList())];
        List<SymmetryBody> trainings = [.. sessions.Zip(landed, SessionSymmetry.Of(landed, rule with { Form = compared }))
            .Where(training => training.First.ClosedUs is not { } closedUs || closedUs >= from.Microseconds)
            .Select(training => Sides(training.First, training.Second, training.Third))];
        var error = rule.Options.SymmetryErrorPercent;
        return new(Cautions.Line, athlete, compared, rule.FewestPerLeg, rule.Options.FewestSessions, error, Rounded(Reliability.MinimalDetectableChange(error)), trainings);
    }

    /// <summary>How well the measures repeat from training to training.</summary>
    public async Task<ReliabilityBody> ReliabilityAsync(string? athlete, string? form, SampleTime from, SampleTime before, CancellationToken stop)
    {
        var options = FatigueOf(configuration.Warnings);
        var jumps = await JumpsAsync(new() { Athlete = athlete, Form = form, FromUs = from.Microseconds, BeforeUs = before.Microseconds, Records = JumpRecords.OfSaturated }, stop);
        List<IReadOnlyCollection<CountedJump>> trainings = [.. jumps.Where(jump => jump.Session is not null).GroupBy(jump => jump.Session, jump => jump.Jump, StringComparer.Ordinal).Select(same => same.ToList())];
        return new(Cautions.Line, Rfc3339.Text(from), Rfc3339.Text(before), athlete, form, trainings.Count, [.. Measures.Select(measure =>
        {
            var pairs = Repeatability.PairsOf(trainings, measure);
            var found = Repeatability.Of(pairs, FewestPairs);
            return new RepeatabilityBody(
                measure, Unit(measure), pairs.Count, FewestPairs, Rounded(found?.Mean), Rounded(found?.Deviation), Rounded(found?.StandardError), Rounded(found?.IntraclassCorrelation),
                Rounded(found?.MinimalDetectableChange), options.ErrorOf(measure));
        })]);
    }

    /// <summary>When a change inside a training counts, by the rules.</summary>
    public static FatigueOptions FatigueOf(WarningRules rules) => rules.Rules.OfType<FatigueRule>().FirstOrDefault()?.Options ?? new();

    /// <summary>When a change of the sides counts, by the rules.</summary>
    public static AsymmetryRule AsymmetryOf(WarningRules rules) => rules.Rules.OfType<AsymmetryRule>().FirstOrDefault() ?? new() { Id = "asymmetry" };

    private static ElementChangeBody Body(SessionChange change, FatigueOptions options)
    {
        var error = options.ErrorOf(change.Measure);
        return new(
            change.Element.Form, change.Element.LandingLeg, change.Element.Apparatus, change.Element.HalfTurns, change.Measure, Unit(change.Measure), change.Jumps, error,
            Rounded(Reliability.MinimalDetectableChange(error)), Rounded(change.NeededChange), Rounded(change.Change), Rounded(change.ChangePercent), Rounded(change.SlopePerJump));
    }

    private static SymmetryBody Sides(SessionRow session, List<CountedJump> landed, SessionSymmetry judged)
    {
        int On(Leg leg) => landed.Count(jump => jump.LandingLeg == leg && jump.LandingShock is not null);
        var (symmetry, change) = (judged.Sides, judged.Change);
        return new(
            session.Id, Rfc3339.Text(new(session.OpenedUs)), On(Leg.Left), On(Leg.Right), Rounded(symmetry?.SymmetryIndexPercent), Rounded(symmetry?.LimbSymmetryPercent),
            Rounded(symmetry?.AsymmetryPercent), judged.Earlier, Rounded(change?.BaselinePercent), Rounded(change?.NeededPercent), Rounded(change?.ChangePercent));
    }

    private static string Unit(ChangeMeasure measure) => measure switch { ChangeMeasure.Height => "m", ChangeMeasure.ContactTime => "s", _ => "[g]" };

    private static double Rounded(double value) => Math.Round(value, 6);

    private static double? Rounded(double? value) => value is { } known ? Math.Round(known, 6) : null;

    private async Task<List<(string? Session, CountedJump Jump)>> JumpsAsync(JumpFilter filter, CancellationToken stop)
    {
        var jumps = new List<(string? Session, CountedJump Jump)>();
        string? place = null;
        do
        {
            var page = await store.Jumps.PageAsync(filter with { After = place, Limit = Page }, stop);
            jumps.AddRange(page.Jumps.Select(row => (row.Session, CountedJumps.Of(row))));
            place = page.Next;
        }
        while (place is not null);
        return jumps;
    }
}

using Saltograph.Board.Records;
using Saltograph.Store;

namespace Saltograph.Service.Api;

/// <summary>Two jumps or two groups compared.</summary>
internal static class ComparisonEndpoints
{
    /// <summary>What a comparison takes: the same for either side.</summary>
    public static readonly QueryKeys Keys = new([.. Side("a", "A"), .. Side("b", "B")]);

    /// <summary>Adds the endpoint.</summary>
    public static void Map(IEndpointRouteBuilder api) => api.MapGet("/comparison", async (HttpRequest request, HallView store, IJumpCourses courses, CancellationToken stop) =>
        {
            var query = new QueryReader(request.Query, Keys);
            var (a, b) = Choices(query);
            return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
                : await StoredComparison.OfAsync(store, courses, a, b, stop) is var found && Empty(found) is { } side ? Missing(side)
                : TypedResults.Ok(ComparisonBody.Of(found));
        })
        .WithName("comparison").WithTags("jumps").WithMetadata(Keys)
        .WithSummary("Two jumps or two groups of stored jumps, B against A")
        .WithDescription($"Difference, standard uncertainty, 95 per cent interval (Welch), effect size (Hedges), detectable change, verdict; what differs most in words; courses laid on the phases of the jump. Each side is one jump or all that match, of more than {JumpChoice.Most} the newest. "
            + "Each measure is judged by itself: of twenty that did not change, one may seem to. Larger is not better.")
        .Produces<ComparisonBody>().WithProblems(400, 404);

    /// <summary>Both sides of a query; faults are in the reader.</summary>
    public static (JumpChoice A, JumpChoice B) Choices(QueryReader query)
    {
        var (a, b) = (Of(query, "a"), Of(query, "b"));
        foreach (var (side, choice) in new[] { ("a", a), ("b", b) })
        {
            if (choice.IsEmpty && query.Faults.Count == 0)
            {
                query.Refuse(new(side, "nothing", $"{side}Jump, {side}Athlete, {side}Form, {side}Session, {side}From or {side}Before"));
            }

            if (choice.Jump is not null && choice != new JumpChoice { Jump = choice.Jump })
            {
                query.Refuse(new($"{side}Jump", "a jump and something that narrows", "one jump, or what narrows"));
            }

            if (choice.FromUs >= choice.BeforeUs)
            {
                query.Refuse(new($"{side}Before", $"not after {side}From", $"later than {side}From"));
            }
        }

        return (a, b);
    }

    /// <summary>The side without a jump; null when both have one.</summary>
    public static string? Empty(StoredComparison found) => found.A.Jumps.Count == 0 ? "a" : found.B.Jumps.Count == 0 ? "b" : null;

    /// <summary>The answer when a side has no jump.</summary>
    public static IResult Missing(string side) => Problems.Missing(side, "no jump", "a choice that at least one stored jump matches");

    private static JumpChoice Of(QueryReader query, string side) => new()
    {
        Jump = query.Text(side + "Jump"),
        Athlete = query.Text(side + "Athlete"),
        Form = query.Text(side + "Form"),
        Session = query.Text(side + "Session"),
        FromUs = query.TimeUs(side + "From"),
        BeforeUs = query.TimeUs(side + "Before"),
    };

    private static IEnumerable<QueryKey> Side(string key, string name) =>
    [
        new(key + "Jump", QueryKind.Text, $"{name}: event id of one jump; then nothing else of this side."),
        new(key + "Athlete", QueryKind.Id, $"{name}: pseudonym."),
        new(key + "Form", QueryKind.Word, $"{name}: which feet leave and land.") { Words = ["leap", "hop", "jump", "assemble", "sissonne"] },
        new(key + "Session", QueryKind.Text, $"{name}: id of a training."),
        new(key + "From", QueryKind.Time, $"{name}: landings from this instant on, RFC 3339 with offset."),
        new(key + "Before", QueryKind.Time, $"{name}: landings before this instant, RFC 3339 with offset."),
    ];
}

using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Api;

/// <summary>What changed beyond error, and how large error is.</summary>
internal static class ChangeEndpoints
{
    private const double LongestDays = 100;

    private static readonly QueryKeys None = new([]);

    private static readonly QueryKey From = new("from", QueryKind.Time, "Begin of the stretch; default 28 days before its end.");

    private static readonly QueryKey Before = new("before", QueryKind.Time, "End of the stretch; default now. At most 100 days after from.");

    private static readonly string[] Forms = ["leap", "hop", "jump", "assemble", "sissonne"];

    private static readonly QueryKeys SidesKeys = new([
        new("form", QueryKind.Word, "Form whose landings are compared; default that of the rule in force.") { Words = Forms }, From, Before]);

    private static readonly QueryKeys ReliabilityKeys = new([
        new("athlete", QueryKind.Id, "Pseudonym; without it all."), new("form", QueryKind.Word, "Only this form; elements are told apart in any case.") { Words = Forms }, From, Before]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/sessions/{id}/change", OfSessionAsync)
            .WithName("session-change").WithTags("change").WithMetadata(None)
            .WithSummary("Change inside a training: height, contact time and shock of the same element, first third against last")
            .WithDescription("Advice, never an alarm: tiring is one reason among others. A change is given only beyond the minimal detectable change and beyond the scatter of the jumps; else it is null. Training information only.")
            .Produces<SessionChangeBody>().WithProblems(400, 404);
        api.MapGet("/athletes/{athlete}/symmetry", SidesAsync)
            .WithName("symmetry").WithTags("change").WithMetadata(SidesKeys)
            .WithSummary("Landing shock left against right, training by training, against her own earlier trainings")
            .WithDescription("Nobody is alike on both sides: only a change against the median of her own earlier trainings, beyond error, is given. Advice, never an alarm. Training information only.")
            .Produces<SidesBody>().WithProblems(400);
        api.MapGet("/reliability", ReliabilityAsync)
            .WithName("reliability").WithTags("change").WithMetadata(ReliabilityKeys)
            .WithSummary("How well measures repeat in this hall: standard error of measurement, reliability, minimal detectable change")
            .WithDescription("From medians of the same element in trainings of an athlete that follow each other within a week (five jumps at least in each). It holds what sensors, straps and athletes vary together, beside what the rules in force assume.")
            .Produces<ReliabilityBody>().WithProblems(400);
    }

    private static async Task<IResult> OfSessionAsync(string id, HttpRequest request, ChangeAnswers change, CancellationToken stop) =>
        new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults)
        : await change.OfSessionAsync(id, stop) is { } body ? TypedResults.Ok(body)
        : Problems.Missing("id", $"'{id}'", "the id of a stored training");

    private static async Task<IResult> SidesAsync(string athlete, HttpRequest request, ChangeAnswers change, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, SidesKeys);
        if (!IdText.IsValid(athlete))
        {
            query.Refuse(new("athlete", $"'{athlete}'", IdText.Allowed));
        }

        ElementForm? form = query.Text("form") is { } word ? Enum.Parse<ElementForm>(word, ignoreCase: true) : null;
        var (from, before) = Stretch(query, time);
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await change.SidesAsync(athlete, form, from, before, stop));
    }

    private static async Task<IResult> ReliabilityAsync(HttpRequest request, ChangeAnswers change, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, ReliabilityKeys);
        var (athlete, form) = (query.Text("athlete"), query.Text("form"));
        var (from, before) = Stretch(query, time);
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await change.ReliabilityAsync(athlete, form, from, before, stop));
    }

    private static (SampleTime From, SampleTime Before) Stretch(QueryReader query, TimeProvider time)
    {
        var before = query.TimeUs("before") is { } end ? new SampleTime(end) : HallClock.Now(time);
        var from = query.TimeUs("from") is { } begin ? new SampleTime(begin) : before.PlusSeconds(-28 * 86_400);
        if (!(before > from) || before - from > LongestDays * 86_400)
        {
            query.Refuse(new("before", "a stretch that is empty or longer than 100 days", "after from, by at most 100 days"));
        }

        return (from, before);
    }
}

using System.Net.Mime;
using System.Text;
using Saltograph.Service.Reports;

namespace Saltograph.Service.Api;

/// <summary>Reports as pages.</summary>
internal static class ReportEndpoints
{
    private const string OnePage =
        "One page of HTML that needs nothing else, fit to print. Its numbers cite this interface: data-from is the question, data-take what to take of the answer, value the number as the answer gives it.";

    private static readonly QueryKey Day = new("day", QueryKind.Day, "Last day of the hall, yyyy-MM-dd; default today.");

    private static readonly QueryKeys SessionKeys = new([
        new("session", QueryKind.Text, "Id of a training; those of others at the same time join it. Default the latest."),
        new("athlete", QueryKind.Id, "Only hers; without it everybody's of that time."),
    ]);

    private static readonly QueryKeys AthleteKeys = new([new("athlete", QueryKind.Id, "Pseudonym; needed."), Day]);

    private static readonly QueryKeys SquadKeys = new([Day]);

    private static readonly QueryKeys GuardianKeys = new([new("athlete", QueryKind.Id, "Pseudonym; needed.")]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        Add(api, "session", "report-session", "Report of a training", SessionKeys, async (query, reports, stop) =>
        {
            var (session, athlete) = (query.Text("session"), query.Text("athlete"));
            return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
                : await reports.SessionAsync(session, athlete, stop) is { } page ? Page(page)
                : Problems.Missing("session", session is null ? "no training in the last 28 days" : $"'{session}'", "the id of a stored training, of this athlete");
        });
        Add(api, "athlete-month", "report-athlete-month", "Report of four weeks of an athlete", AthleteKeys, async (query, reports, stop) =>
        {
            var (athlete, day) = (query.Text("athlete"), query.Text("day"));
            return await OfAthleteAsync(query, reports, athlete, stop) ?? Page(await reports.MonthAsync(athlete!, day is null ? reports.Today : LoadDays.Day(day), stop));
        });
        Add(api, "squad-week", "report-squad-week", "Report of seven days of the squad", SquadKeys, async (query, reports, stop) =>
        {
            var day = query.Text("day");
            return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : Page(await reports.WeekAsync(day is null ? reports.Today : LoadDays.Day(day), stop));
        });
        Add(api, "guardian", "report-guardian", "Sheet for a guardian: what is recorded, who sees it, how to stop it", GuardianKeys, async (query, reports, stop) =>
        {
            var athlete = query.Text("athlete");
            return await OfAthleteAsync(query, reports, athlete, stop) ?? Page(await reports.GuardianAsync(athlete!, stop));
        });
        Add(api, "comparison", "report-comparison", "Report of a comparison of two jumps or two groups", ComparisonEndpoints.Keys, async (query, reports, stop) =>
        {
            var (a, b) = ComparisonEndpoints.Choices(query);
            return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
                : await reports.CompareAsync(a, b, stop) is var found && ComparisonEndpoints.Empty(found) is { } side ? ComparisonEndpoints.Missing(side)
                : Page(reports.Comparison(found, a, b));
        });
    }

    private static void Add(IEndpointRouteBuilder api, string name, string operation, string summary, QueryKeys keys, Func<QueryReader, ReportAnswers, CancellationToken, Task<IResult>> answer) =>
        api.MapGet($"/reports/{name}.html", (HttpRequest request, ReportAnswers reports, CancellationToken stop) => answer(new(request.Query, keys), reports, stop))
            .WithName(operation).WithTags("reports").WithMetadata(keys)
            .WithSummary(summary)
            .WithDescription(OnePage)
            .Produces<string>(200, MediaTypeNames.Text.Html).WithProblems(400, 404);

    private static async Task<IResult?> OfAthleteAsync(QueryReader query, ReportAnswers reports, string? athlete, CancellationToken stop)
    {
        if (athlete is null && query.Faults.Count == 0)
        {
            query.Refuse(new("athlete", "nothing", "a pseudonym"));
        }

        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
            : await reports.KnowsAsync(athlete!, stop) ? null
            : Problems.Missing("athlete", $"'{athlete}'", "an athlete of the roster, or with anything stored");
    }

    private static Microsoft.AspNetCore.Http.HttpResults.ContentHttpResult Page(string page) => TypedResults.Content(page, MediaTypeNames.Text.Html, Encoding.UTF8);
}

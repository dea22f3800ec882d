using Saltograph.Imu;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Api;

/// <summary>Load of an athlete and of the squad.</summary>
internal static class LoadEndpoints
{
    private static readonly QueryKey Day = new("day", QueryKind.Day, "Day of the hall, yyyy-MM-dd; default today.");

    private static readonly QueryKey Measure = new("measure", QueryKind.Word, "What a day's load is: jumps (1), height (sum, m) or exertion (exertion times minutes, AU); default jumps.")
    {
        Words = LoadDays.Measures,
    };

    private static readonly QueryKeys Keys = new([
        Day,
        Measure,
        new("shockExponent", QueryKind.Whole, "The n of the sums of shock^n (g^n); default 1.") { Least = 1, Largest = 6 },
        new("peakForceBw", QueryKind.Number, "Mean peak ground reaction force of her jumps from a force plate, body weights, for the osteogenic index; without it the index is null.") { Least = 0.1, Largest = 30 },
    ]);

    private static readonly QueryKeys SquadKeys = new([Day, Measure]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/athletes/{athlete}/load", OfAsync)
            .WithName("load").WithTags("load").WithMetadata(Keys)
            .WithSummary("Load of an athlete: a day, 7 and 28 days, curves, monotony and strain")
            .WithDescription("Counts and sums by leg, form, height band (m) and shock band (g). The chronic curve is null until 28 days are known. Monotony and strain come with both standard deviations, over n and over n - 1. "
                + "A day is data, partial (at least), rest (a plan of 0 jumps and nothing measured) or no-data. Training information only.")
            .Produces<LoadBody>().WithProblems(400);
        api.MapGet("/squad/load", SquadAsync)
            .WithName("squad-load").WithTags("load").WithMetadata(SquadKeys)
            .WithSummary("Load of all athletes")
            .Produces<SquadBody>().WithProblems(400);
    }

    private static async Task<IResult> OfAsync(string athlete, HttpRequest request, LoadAnswers load, HallDays days, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, Keys);
        if (!IdText.IsValid(athlete))
        {
            query.Refuse(new("athlete", $"'{athlete}'", IdText.Allowed));
        }

        var day = query.Text("day") ?? days.Of(HallClock.Now(time));
        var (measure, exponent, peakForceBw) = (query.Text("measure") ?? "jumps", query.Number("shockExponent") ?? 1, query.Number("peakForceBw"));
        return query.Faults.Count > 0
            ? Problems.Wrong(query.Faults)
            : TypedResults.Ok(await load.OfAsync(athlete, LoadDays.Day(day), measure, (int)exponent, peakForceBw, stop));
    }

    private static async Task<IResult> SquadAsync(HttpRequest request, LoadAnswers load, HallDays days, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, SquadKeys);
        var day = query.Text("day") ?? days.Of(HallClock.Now(time));
        var measure = query.Text("measure") ?? "jumps";
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await load.SquadAsync(LoadDays.Day(day), measure, stop));
    }
}

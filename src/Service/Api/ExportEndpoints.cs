using Saltograph.Board.Access;

namespace Saltograph.Service.Api;

/// <summary>Exports of a query.</summary>
internal static class ExportEndpoints
{
    private static readonly QueryKeys Keys = new(JumpQuery.Filters);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/export/jumps.csv", CsvAsync)
            .RequireAuthorization(Rights.Export).WithName("export-csv").WithTags("export").WithMetadata(Keys)
            .WithSummary("All jumps of a filter as CSV (RFC 4180)")
            .WithDescription("Streamed. Units stand in the column names (S, M, Mps, Deg, Dps, G); an empty cell was not measured.")
            .Produces<string>(200, "text/csv").WithProblems(400);
        api.MapGet("/export/jumps.jsonl", LinesAsync)
            .RequireAuthorization(Rights.Export).WithName("export-lines").WithTags("export").WithMetadata(Keys)
            .WithSummary("All jumps of a filter as JSON Lines")
            .WithDescription("Streamed. Each line is a jump as /jumps gives it; the verb compare reads such files.")
            .Produces<string>(200, "application/jsonl").WithProblems(400);
    }

    private static IResult CsvAsync(HttpRequest request, JumpExport export) =>
        Stream(request, "text/csv; charset=utf-8; header=present", "jumps.csv", export.WriteCsvAsync);

    private static IResult LinesAsync(HttpRequest request, JumpExport export) => Stream(request, "application/jsonl; charset=utf-8", "jumps.jsonl", export.WriteLinesAsync);

    private static IResult Stream(HttpRequest request, string type, string name, Func<Stream, Store.Queries.JumpFilter, CancellationToken, Task> write)
    {
        var query = new QueryReader(request.Query, Keys);
        var filter = JumpQuery.Of(query);
        return query.Faults.Count > 0
            ? Problems.Wrong(query.Faults)
            : TypedResults.Stream(to => write(to, filter, request.HttpContext.RequestAborted), type, name);
    }
}

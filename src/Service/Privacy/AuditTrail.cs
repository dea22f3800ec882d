using Microsoft.AspNetCore.Authorization;
using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Store;

namespace Saltograph.Service.Privacy;

/// <summary>Writes down who asked for athletes' data, before the answer is given: nobody looks unseen. Where nobody signs in there is nobody to write down.</summary>
internal sealed class AuditTrail(RequestDelegate next, HallStore store, TimeProvider time)
{
    private const int LongestDetail = 300;

    private static readonly HashSet<string> Looking = new(StringComparer.Ordinal)
    {
        Rights.Look, Rights.LookAtWarnings, Rights.LookAtSensors, Rights.Export, Rights.ExportAthlete, Rights.Plan, Rights.AnswerWarnings,
    };

    /// <summary>Notes the request, and goes on.</summary>
    public async Task InvokeAsync(HttpContext context, Onlooker onlooker)
    {
        if (onlooker.Name is { } who && context.GetEndpoint() is RouteEndpoint route && IsAboutAthletes(route))
        {
            var request = context.Request;
            var named = request.RouteValues["athlete"] as string ?? request.Query["athlete"].ToString();
            var detail = $"{request.Method} {request.Path}{request.QueryString}";
            await store.WriteAsync(
                transaction => transaction.AddAuditAsync(
                    HallClock.Now(time).Microseconds,
                    who,
                    HttpMethods.IsGet(request.Method) ? "look" : "change",
                    IdText.IsValid(named) ? named : null,
                    detail[..Math.Min(detail.Length, LongestDetail)]),
                context.RequestAborted);
        }

        await next(context);
    }

    private static bool IsAboutAthletes(RouteEndpoint route) =>
        route.RoutePattern.RawText?.TrimStart('/').StartsWith("_blazor", StringComparison.Ordinal) != true // the socket of a page that was noted itself
        && route.Metadata.GetOrderedMetadata<IAuthorizeData>().Any(data => data.Policy is { } right && Looking.Contains(right));
}

using System.Net.Mime;
using Microsoft.AspNetCore.Mvc;

namespace Saltograph.Service.Api;

/// <summary>Errors as problem details (RFC 9457), with a member <c>faults</c>: where, found, allowed.</summary>
internal static class Problems
{
    /// <summary>The request is wrong; nothing was done.</summary>
    public static IResult Wrong(IReadOnlyList<ApiFault> faults) => Of(StatusCodes.Status400BadRequest, "The request is wrong; nothing was done.", faults);

    /// <summary>There is no such thing.</summary>
    public static IResult Missing(string where, string found, string allowed) =>
        Of(StatusCodes.Status404NotFound, "There is no such thing.", [new(where, found, allowed)]);

    /// <summary>The answer as JSON, or what was wrong with the question.</summary>
    public static IResult Of<T>(Answer<T> answer)
        where T : class => answer.Value is { } value ? TypedResults.Ok(value) : Wrong(answer.Faults);

    /// <summary>Documents the errors that an operation gives.</summary>
    public static RouteHandlerBuilder WithProblems(this RouteHandlerBuilder endpoint, params int[] statuses)
    {
        foreach (var status in statuses)
        {
            endpoint.Produces<ProblemDetails>(status, MediaTypeNames.Application.ProblemJson);
        }

        return endpoint;
    }

    private static Microsoft.AspNetCore.Http.HttpResults.ProblemHttpResult Of(int status, string title, IReadOnlyList<ApiFault> faults) => TypedResults.Problem(
        detail: string.Join(' ', faults), statusCode: status, title: title, extensions: new Dictionary<string, object?>(StringComparer.Ordinal) { ["faults"] = faults });
}

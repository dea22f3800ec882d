using System.Text.Json;

namespace Saltograph.Service.Api;

/// <summary>Reads the body of a request.</summary>
internal static class JsonBody
{
    /// <summary>The body and null, or nothing and the problem to answer with.</summary>
    /// <param name="request">The request.</param>
    /// <param name="allowed">What the body should be, for the message.</param>
    /// <param name="stop">Gives up.</param>
    public static async Task<(T? Body, IResult? Problem)> ReadAsync<T>(HttpRequest request, string allowed, CancellationToken stop)
    {
        if (!request.HasJsonContentType())
        {
            return (default, OfAnotherType(request));
        }

        try
        {
            return await request.ReadFromJsonAsync<T>(stop) is { } body ? (body, null) : (default, Problems.Wrong([new("body", "null", allowed)]));
        }
        catch (JsonException problem)
        {
            return (default, Problems.Wrong([new("body", problem.Message, allowed)]));
        }
        catch (InvalidOperationException) when (request.GetTypedHeaders().ContentType?.Charset.HasValue == true)
        {
            return (default, OfAnotherType(request)); // a charset that is not known here
        }
    }

    private static Microsoft.AspNetCore.Http.HttpResults.ProblemHttpResult OfAnotherType(HttpRequest request) =>
        TypedResults.Problem($"Content-Type: found '{request.ContentType}'; allowed: application/json.", statusCode: StatusCodes.Status415UnsupportedMediaType);
}

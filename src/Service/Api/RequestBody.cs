namespace Saltograph.Service.Api;

/// <summary>Reads the body of a request strictly: JSON, keys that are known, the types that are allowed.</summary>
internal static class RequestBody
{
    /// <summary>Reads it.</summary>
    /// <param name="request">The request; its query must be empty.</param>
    /// <param name="allowed">What the body is, for the message.</param>
    /// <param name="then">Gets the body and answers.</param>
    /// <param name="stop">Gives up.</param>
    public static async Task<IResult> ThenAsync<T>(HttpRequest request, string allowed, Func<T, Task<IResult>> then, CancellationToken stop)
        where T : class
    {
        if (new QueryReader(request.Query, new([])).Faults is [_, ..] faults)
        {
            return Problems.Wrong(faults);
        }

        var (body, problem) = await JsonBody.ReadAsync<T>(request, allowed, stop);
        return problem ?? await then(body!);
    }
}

using System.Globalization;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Api;

/// <summary>The OpenAPI document: what the endpoints do not tell by themselves.</summary>
internal static class ApiDocument
{
    private const string About =
        "Jumps, trainings and load of one hall. Units stand in the names (S, M, Mps, Deg, Dps, G, Us); null means not measured or not entered. Times are RFC 3339 in UTC, "
        + "days are days of the hall's time zone. Errors are problem details (RFC 9457) with a member faults: where, found, allowed. "
        + "Programs send a token of a person (Authorization: Bearer); answers hold the athletes whom that person is assigned to, and no others. ";

    /// <summary>Adds it.</summary>
    public static void Add(IServiceCollection services) => services.AddOpenApi("v1", options =>
    {
        options.ShouldInclude = operation => operation.RelativePath?.StartsWith("api/v1/", StringComparison.Ordinal) == true;
        options.AddDocumentTransformer((document, _, _) =>
        {
            document.Info = new() { Title = "Saltograph", Version = "v1", Description = About + Cautions.Line };
            document.Servers?.Clear(); // where it was asked for says where it is
            return Task.CompletedTask;
        });
        options.AddOperationTransformer((operation, context, _) =>
        {
            foreach (var key in context.Description.ActionDescriptor.EndpointMetadata.OfType<QueryKeys>().SelectMany(keys => keys.Keys))
            {
                operation.Parameters ??= [];
                operation.Parameters.Add(new OpenApiParameter { Name = key.Name, In = ParameterLocation.Query, Description = key.Meaning, Schema = Schema(key) });
            }

            return Task.CompletedTask;
        });
    });

    private static OpenApiSchema Schema(QueryKey key) => new()
    {
        Type = key.Kind switch
        {
            QueryKind.Whole => JsonSchemaType.Integer,
            QueryKind.Number => JsonSchemaType.Number,
            _ => JsonSchemaType.String,
        },
        Format = key.Kind switch
        {
            QueryKind.Time => "date-time",
            QueryKind.Day => "date",
            _ => null,
        },
        Pattern = key.Kind == QueryKind.Id ? "^[a-z0-9-]{1,32}$" : null,
        Minimum = double.IsFinite(key.Least) ? key.Least.ToString(CultureInfo.InvariantCulture) : null,
        Maximum = double.IsFinite(key.Largest) ? key.Largest.ToString(CultureInfo.InvariantCulture) : null,
        Enum = key.Words.Count > 0 ? [.. key.Words.Select(word => (JsonNode)JsonValue.Create(word))] : null,
    };
}

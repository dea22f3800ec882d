using System.Text.Json;
using System.Text.Json.Serialization;

namespace Saltograph.Service.Api;

/// <summary>The HTTP interface for programs, under <c>/api/v1</c>.</summary>
internal static class ApiEndpoints
{
    /// <summary>Where it begins.</summary>
    public const string Root = "/api/v1";

    /// <summary>Adds what answers. The pages of the service may ask these classes without HTTP.</summary>
    public static void Add(IServiceCollection services)
    {
        services.AddProblemDetails();
        services.ConfigureHttpJsonOptions(options =>
        {
            options.SerializerOptions.NumberHandling = JsonNumberHandling.Strict;
            options.SerializerOptions.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
            options.SerializerOptions.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower));
        });
        services.AddSingleton<JumpAnswers>();
        services.AddSingleton<SessionAnswers>();
        services.AddSingleton<LoadAnswers>();
        services.AddSingleton<JumpExport>();
        services.AddSingleton<PlanAnswers>();
        ApiDocument.Add(services);
    }

    /// <summary>Adds the endpoints.</summary>
    public static void Map(WebApplication app)
    {
        app.UseWhen(context => context.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal), api =>
        {
            api.UseExceptionHandler();
            api.UseStatusCodePages();
        });
        app.MapOpenApi();
        var root = app.MapGroup(Root);
        JumpEndpoints.Map(root);
        SessionEndpoints.Map(root);
        LoadEndpoints.Map(root);
        PlanEndpoints.Map(root);
        ExportEndpoints.Map(root);
    }
}

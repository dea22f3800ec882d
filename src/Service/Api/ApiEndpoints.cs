using System.Text.Json;
using System.Text.Json.Serialization;
using Saltograph.Board.Access;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;

namespace Saltograph.Service.Api;

/// <summary>The HTTP interface for programs, under <c>/api/v1</c>.</summary>
internal static class ApiEndpoints
{
    /// <summary>Where it begins.</summary>
    public const string Root = "/api/v1";

    /// <summary>Adds what answers, for one request or one live page each, and with the rows that its onlooker may see. The pages of the service may ask these classes without HTTP.</summary>
    public static void Add(IServiceCollection services)
    {
        services.AddProblemDetails();
        services.ConfigureHttpJsonOptions(options =>
        {
            options.SerializerOptions.NumberHandling = JsonNumberHandling.Strict;
            options.SerializerOptions.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
            options.SerializerOptions.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower));
        });
        services.AddScoped<JumpAnswers>();
        services.AddScoped<JumpCourses>();
        services.AddScoped<Board.Records.IJumpCourses>(provider => provider.GetRequiredService<JumpCourses>());
        services.AddScoped<SessionAnswers>();
        services.AddScoped<LoadAnswers>();
        services.AddScoped<ChangeAnswers>();
        services.AddScoped<JumpExport>();
        services.AddScoped<PlanAnswers>();
        services.AddScoped<Reports.ReportAnswers>();
        services.AddScoped<WarningAnswers>();
        services.AddScoped<SensorAnswers>();
        ApiDocument.Add(services);
    }

    /// <summary>Errors as problems; goes before what may refuse a request.</summary>
    public static void Use(WebApplication app) => app.UseWhen(context => context.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal), api =>
    {
        api.UseExceptionHandler();
        api.UseStatusCodePages();
    });

    /// <summary>Adds the endpoints. Each asks for the right to look unless it asks for another one too.</summary>
    public static void Map(WebApplication app)
    {
        app.MapOpenApi().RequireAuthorization(Rights.OwnAccount);
        var root = app.MapGroup(Root).RequireAuthorization(Rights.Look);
        JumpEndpoints.Map(root);
        SessionEndpoints.Map(root);
        LoadEndpoints.Map(root);
        ChangeEndpoints.Map(root);
        PlanEndpoints.Map(root);
        WarningEndpoints.Map(root);
        RuleEndpoints.Map(root);
        SensorEndpoints.Map(root);
        ExportEndpoints.Map(root);
        ComparisonEndpoints.Map(root);
        ReportEndpoints.Map(root);
        var office = app.MapGroup(Root);
        TokenEndpoints.Map(office);
        PeopleEndpoints.Map(office);
        PrivacyEndpoints.Map(office);
    }
}

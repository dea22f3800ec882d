using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;

namespace Saltograph.Service.Warnings;

/// <summary>The parts of the warnings.</summary>
internal static class WarningServices
{
    /// <summary>Adds them.</summary>
    public static void Add(IServiceCollection services, HallConfiguration configuration)
    {
        services.AddSingleton(new LandingClasses(configuration.Warnings.Landings));
        services.AddSingleton<WarningWriter>();
        services.AddSingleton<WarningDesk>();
        services.AddSingleton<IFactSink>(provider => provider.GetRequiredService<WarningDesk>());
        services.AddHostedService<WarningClock>();
    }
}

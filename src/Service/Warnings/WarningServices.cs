using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Warnings.Telling;

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
        services.AddHostedService<BatteryReports>();
        services.AddSingleton<SessionDesk>();

        var tell = configuration.Service.Tell;
        services.AddSingleton(tell);
        if (tell.WebhookUrl.Length > 0)
        {
            services.AddSingleton<IWarningChannel>(provider => new Webhook(
                new(tell.WebhookUrl), configuration.WebhookSecret ?? "", Webhook.Client(), provider.GetRequiredService<TimeProvider>()));
        }

        if (tell.MailHost.Length > 0)
        {
            services.AddSingleton<IWarningChannel>(_ => new Mail(tell, configuration.MailPassword));
        }

        services.AddSingleton<WarningTelling>();
        services.AddSingleton<IWarningListener>(provider => provider.GetRequiredService<WarningTelling>());
        services.AddHostedService(provider => provider.GetRequiredService<WarningTelling>());
    }
}

using System.Net;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using MQTTnet.AspNetCore;
using MQTTnet.Server;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Serilog;

namespace Saltograph.Service.Hosting;

/// <summary>The whole service of one hall in one process: broker, measuring, sinks, HTTP.</summary>
internal sealed class HallHost : IAsyncDisposable
{
    // Over the drain, so that the drain's own limit is the one that acts.
    private static readonly TimeSpan AfterDrain = TimeSpan.FromSeconds(5);

    private readonly WebApplication _app;
    private readonly ListenOptions _http;
    private readonly ListenOptions? _mqtt;

    private HallHost(WebApplication app, ListenOptions http, ListenOptions? mqtt) => (_app, _http, _mqtt) = (app, http, mqtt);

    /// <summary>Port of the HTTP endpoints, once started.</summary>
    public int HttpPort => _http.IPEndPoint!.Port;

    /// <summary>Port of the embedded broker, once started.</summary>
    public int MqttPort => _mqtt?.IPEndPoint!.Port ?? throw new InvalidOperationException("This hall uses a broker elsewhere.");

    /// <summary>What was registered.</summary>
    public IServiceProvider Services => _app.Services;

    /// <summary>Puts the parts together; nothing runs yet.</summary>
    /// <param name="configuration">Without faults.</param>
    /// <param name="logger">Where logs go.</param>
    /// <param name="adjust">Further sinks, and in tests parts that replace others.</param>
    public static HallHost Build(HallConfiguration configuration, Serilog.ILogger logger, Action<IServiceCollection>? adjust = null)
    {
        var builder = WebApplication.CreateSlimBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        builder.Configuration.Sources.Clear(); // the files of the configuration folder are the only ones
        builder.Services.AddSerilog(logger);
        builder.Services.Configure<HostOptions>(options =>
            options.ShutdownTimeout = TimeSpan.FromSeconds(configuration.Service.Limits.DrainS) + AfterDrain);
        builder.Services.AddSingleton(configuration);
        AddMeasuring(builder.Services, configuration);
        AddBroker(builder.Services, configuration);
        builder.Services.AddHealthChecks().AddCheck<BrokerHealth>("broker");
        adjust?.Invoke(builder.Services);

        ListenOptions? http = null;
        ListenOptions? mqtt = null;
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            var options = configuration.Service;
            kestrel.Listen(IPAddress.Parse(options.Http.Address), options.Http.Port, listener => http = listener);
            if (options.Broker.Kind == BrokerOptions.Embedded)
            {
                var broker = options.Broker.EmbeddedBroker;
                kestrel.Listen(IPAddress.Parse(broker.Address), broker.Port, listener =>
                {
                    mqtt = listener;
                    var log = listener.ApplicationServices.GetRequiredService<ILogger<EmbeddedBroker>>();
                    listener.UsePacketSizeCap(broker.LargestPacketBytes, log);
                    listener.UseMqtt();
                });
            }
        });

        var app = builder.Build();
        if (configuration.Service.Broker.Kind == BrokerOptions.Embedded)
        {
            app.UseMqttServer(app.Services.GetRequiredService<EmbeddedBroker>().Attach);
        }

        HallEndpoints.Map(app);
        _ = app.Services.GetRequiredService<Microsoft.Extensions.Options.IOptions<KestrelServerOptions>>().Value;
        return new(app, http!, mqtt);
    }

    /// <summary>Starts; ends when everything listens.</summary>
    public async Task StartAsync(CancellationToken stop)
    {
        await _app.StartAsync(stop);
        Services.GetRequiredService<ILogger<HallHost>>().HallListens(HttpPort, _mqtt?.IPEndPoint?.Port);
    }

    /// <summary>Finishes what was taken and stops.</summary>
    public Task StopAsync() => _app.StopAsync();

    /// <summary>Ends when a stop signal came and everything was finished.</summary>
    public Task WaitForStopAsync(CancellationToken stop) => _app.WaitForShutdownAsync(stop);

    /// <inheritdoc/>
    public ValueTask DisposeAsync() => _app.DisposeAsync();

    private static void AddMeasuring(IServiceCollection services, HallConfiguration configuration)
    {
        var options = configuration.Service;
        var hall = new HallId(options.Hall);
        services.AddSingleton(TimeProvider.System);
        services.AddSingleton<ServiceMetrics>();
        services.AddSingleton(options.Limits);
        services.AddSingleton(new Roster(configuration.Roster));
        services.AddSingleton(new DayLedger(TimeZoneInfo.FindSystemTimeZoneById(options.TimeZone)));
        services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(provider => athlete => new AthleteMeasuring(
            athlete,
            provider.GetRequiredService<Roster>().SensorsOf(athlete),
            configuration.Thresholds.Pipeline,
            provider.GetRequiredService<DayLedger>()));
        services.AddSingleton(new LatestJumps(options.Limits.LatestJumps));
        services.AddSingleton<IFactSink>(provider => provider.GetRequiredService<LatestJumps>());
        services.AddSingleton<IFactSink, LogSink>();
        services.AddSingleton<IFactSink>(provider => new MqttPublisher(hall, provider.GetRequiredService<IMessageOut>()));
        services.AddSingleton<FactDispatch>();
        services.AddSingleton<AthleteStreams>();
        services.AddSingleton<DrainOutcome>();
        services.AddHostedService<HallService>();
    }

    private static void AddBroker(IServiceCollection services, HallConfiguration configuration)
    {
        var options = configuration.Service;
        services.AddSingleton(provider => new SensorInbox(
            new(options.Hall), provider.GetRequiredService<TimeProvider>(), provider.GetRequiredService<ILogger<SensorInbox>>()));
        if (options.Broker.Kind == BrokerOptions.External)
        {
            services.AddSingleton(provider => new ExternalBroker(
                options,
                configuration.BrokerPassword,
                provider.GetRequiredService<SensorInbox>(),
                provider.GetRequiredService<TimeProvider>(),
                provider.GetRequiredService<ILogger<ExternalBroker>>()));
            services.AddSingleton<IPacketSource>(provider => provider.GetRequiredService<ExternalBroker>());
            services.AddSingleton<IMessageOut>(provider => provider.GetRequiredService<ExternalBroker>());
            return;
        }

        services.AddSingleton<EmbeddedBroker>();
        services.AddSingleton<IPacketSource>(provider => provider.GetRequiredService<EmbeddedBroker>());
        services.AddSingleton<IMessageOut>(provider => provider.GetRequiredService<EmbeddedBroker>());
        services.AddHostedMqttServer(server => server
            .WithoutDefaultEndpoint()
            .WithPersistentSessions()
            .WithMaxPendingMessagesPerClient(options.Broker.EmbeddedBroker.PendingMessages)
            .WithPendingMessagesOverflowStrategy(MqttPendingMessagesOverflowStrategy.DropNewMessage)); // the other one leaks
        services.AddMqttConnectionHandler();
        services.AddConnections();
    }
}

using System.Data.Common;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using MQTTnet.AspNetCore;
using MQTTnet.Server;
using Saltograph.Board;
using Saltograph.Board.Access;
using Saltograph.Board.Live;
using Saltograph.Board.Records;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Fitting;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;
using Saltograph.Service.Screens;
using Saltograph.Service.Security;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Recordings;
using Serilog;

namespace Saltograph.Service.Hosting;

/// <summary>The whole service of one hall in one process: broker, measuring, sinks, HTTP.</summary>
internal sealed class HallHost : IAsyncDisposable
{
    // Over the drain, so that the drain's own limit is the one that acts.
    private static readonly TimeSpan AfterDrain = TimeSpan.FromSeconds(5);

    // Of the assembly, also when a test hosts it: the lists of static files are named after it.
    private static readonly string ProgramName = typeof(HallHost).Assembly.GetName().Name!;

    private readonly WebApplication _app;
    private readonly HallStore _store;
    private readonly ServiceOptions _options;
    private readonly ListenOptions _http;
    private readonly ListenOptions? _mqtt;

    private HallHost(WebApplication app, HallStore store, ServiceOptions options, ListenOptions http, ListenOptions? mqtt) =>
        (_app, _store, _options, _http, _mqtt) = (app, store, options, http, mqtt);

    /// <summary>Port of the HTTP endpoints, once started.</summary>
    public int HttpPort => _http.IPEndPoint!.Port;

    /// <summary>Address of the pages, once started.</summary>
    public string Address => string.Create(
        System.Globalization.CultureInfo.InvariantCulture,
        $"{(_options.Http.CertificateFile.Length > 0 ? "https" : "http")}://{(_options.Http.Hosts.Length > 0 ? _options.Http.Hosts.Split(',')[0].Trim() : _http.IPEndPoint!.Address.ToString())}:{HttpPort}");

    /// <summary>Port of the embedded broker, once started.</summary>
    public int MqttPort => _mqtt?.IPEndPoint!.Port ?? throw new InvalidOperationException("This hall uses a broker elsewhere.");

    /// <summary>What was registered.</summary>
    public IServiceProvider Services => _app.Services;

    /// <summary>A port that is taken, an address of another machine, a folder that cannot be made, a database that does not answer.</summary>
    public static bool IsReasonNotToStart(Exception problem) =>
        problem is IOException or SocketException or UnauthorizedAccessException or StoreException or DbException or CryptographicException;

    /// <summary>Opens the store and puts the parts together; nothing runs yet.</summary>
    /// <param name="configuration">Without faults.</param>
    /// <param name="logger">Where logs go.</param>
    /// <param name="adjust">Further sinks, and in tests parts that replace others.</param>
    /// <param name="stop">Gives up.</param>
    public static async Task<HallHost> BuildAsync(
        HallConfiguration configuration, Serilog.ILogger logger, Action<IServiceCollection>? adjust = null, CancellationToken stop = default)
    {
        var store = await HallStore.OpenAsync(configuration.Service.Store.ToOptions(configuration.StorePassword), stop);
        try
        {
            return Build(configuration, store, logger, adjust);
        }
        catch
        {
            await store.DisposeAsync();
            throw;
        }
    }

    private static HallHost Build(HallConfiguration configuration, HallStore store, Serilog.ILogger logger, Action<IServiceCollection>? adjust)
    {
        var builder = WebApplication.CreateSlimBuilder(new WebApplicationOptions { ApplicationName = ProgramName, ContentRootPath = AppContext.BaseDirectory });
        builder.WebHost.UseStaticWebAssets(); // run from the build's output the files of the pages lie with their packages
        builder.Configuration.Sources.Clear(); // the files of the configuration folder are the only ones
        builder.Services.AddSerilog(logger);
        builder.Services.Configure<HostOptions>(options =>
            options.ShutdownTimeout = TimeSpan.FromSeconds(configuration.Service.Limits.DrainS) + AfterDrain);
        builder.Services.AddSingleton(configuration);
        builder.Services.AddSingleton(store);
        AddDurability(builder.Services, configuration);
        WarningServices.Add(builder.Services, configuration);
        ApiEndpoints.Add(builder.Services);
        PeopleSide.Add(builder.Services, configuration);
        AddMeasuring(builder.Services, configuration);
        AddBroker(builder.Services, configuration);
        builder.Services.AddSystemd(); // acts only where systemd starts the program
        Telemetry.Add(builder.Services, configuration.Service);
        AddScreens(builder.Services, configuration);
        builder.Services.AddHealthChecks().AddCheck<BrokerHealth>("broker").AddCheck<DurabilityState>("durability");
        adjust?.Invoke(builder.Services);

        var tls = configuration.Service.Broker.Kind == BrokerOptions.Embedded ? BrokerTls.Options(configuration.Service.Broker.EmbeddedBroker) : null;
        var httpTls = BrokerTls.Options(configuration.Service.Http);
        builder.WebHost.UseKestrelHttpsConfiguration();
        ListenOptions? http = null;
        ListenOptions? mqtt = null;
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            var options = configuration.Service;
            kestrel.Listen(IPAddress.Parse(options.Http.Address), options.Http.Port, listener =>
            {
                http = listener;
                if (httpTls is not null)
                {
                    listener.UseHttps(httpTls);
                }
            });
            if (options.Broker.Kind == BrokerOptions.Embedded)
            {
                var broker = options.Broker.EmbeddedBroker;
                kestrel.Listen(IPAddress.Parse(broker.Address), broker.Port, listener =>
                {
                    mqtt = listener;
                    var log = listener.ApplicationServices.GetRequiredService<ILogger<EmbeddedBroker>>();
                    if (tls is not null)
                    {
                        listener.UseHttps(tls);
                    }

                    listener.UsePacketSizeCap(broker.LargestPacketBytes, log);
                    listener.UseMqtt();
                });
            }
        });

        var app = builder.Build();
        if (configuration.Service.Broker.Kind == BrokerOptions.Embedded)
        {
            app.UseMqttServer(server =>
            {
                app.Services.GetRequiredService<EmbeddedBroker>().Attach(server);
                app.Services.GetRequiredService<LostSessions>().Attach(server);
                app.Services.GetRequiredService<AbsentSessions>().Attach(server);
            });
        }

        ApiEndpoints.Use(app);
        app.UseBoard();
        app.UseBoardFaults();
        PeopleSide.Use(app, configuration);
        app.UseAntiforgery();
        HallEndpoints.Map(app, configuration.Service);
        app.MapBoard($"{ProgramName}.staticwebassets.endpoints.json");
        _ = app.Services.GetRequiredService<Microsoft.Extensions.Options.IOptions<KestrelServerOptions>>().Value;
        return new(app, store, configuration.Service, http!, mqtt);
    }

    /// <summary>Starts; ends when everything listens.</summary>
    public async Task StartAsync(CancellationToken stop)
    {
        await _app.StartAsync(stop);
        await Services.GetRequiredService<PeopleDesk>().BeginAsync(Address, stop);
        Services.GetRequiredService<ILogger<HallHost>>().HallListens(HttpPort, _mqtt?.IPEndPoint?.Port);
    }

    /// <summary>Finishes what was taken and stops.</summary>
    public Task StopAsync() => _app.StopAsync();

    /// <summary>Ends when a stop signal came and everything was finished.</summary>
    public Task WaitForStopAsync(CancellationToken stop) => _app.WaitForShutdownAsync(stop);

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _app.DisposeAsync();
        await _store.DisposeAsync();
    }

    private static void AddDurability(IServiceCollection services, HallConfiguration configuration)
    {
        services.AddSingleton<IRecordingDisk, RecordingDisk>();
        services.AddSingleton<DurabilityState>();
        services.AddSingleton<SessionArchive>();
        services.AddSingleton<ISessionArchive>(provider => provider.GetRequiredService<SessionArchive>());
        services.AddSingleton(new HallDays(TimeZoneInfo.FindSystemTimeZoneById(configuration.Service.TimeZone)));
        services.AddSingleton(new EventMessages(new(configuration.Service.Hall)));
        services.AddSingleton(configuration.Service.Broker);
        services.AddSingleton<FactWriter>();
        services.AddSingleton<OutboxSender>();
        services.AddSingleton<LostSessions>();
        services.AddSingleton<FactJournal>();
        services.AddSingleton<IFactTaker>(provider => provider.GetRequiredService<FactJournal>());
        services.AddSingleton<History>();
        services.AddHostedService<Retention>();
        services.AddHostedService<PeriodicFlush>();
    }

    private static void AddMeasuring(IServiceCollection services, HallConfiguration configuration)
    {
        var options = configuration.Service;
        services.AddSingleton(TimeProvider.System);
        services.AddSingleton<ServiceMetrics>();
        services.AddSingleton(options.Limits);
        services.AddSingleton(new Roster(configuration.Roster));
        services.AddSingleton<DayLedger>();
        services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(provider => athlete => new WatchedMeasuring(
            athlete,
            new AthleteMeasuring(
                athlete,
                provider.GetRequiredService<Roster>().SensorsOf(athlete),
                configuration.Thresholds.Pipeline,
                provider.GetRequiredService<DayLedger>()),
            provider.GetRequiredService<SensorChecks>()));
        services.AddSingleton<IFactSink, LogSink>();
        services.AddSingleton<IFactSink, LatencySink>();
        services.AddSingleton<IFactSink, MqttPublisher>();
        services.AddSingleton<SensorBook>();
        services.AddSingleton<IFactSink>(provider => provider.GetRequiredService<SensorBook>());
        services.AddSingleton<FactDispatch>();
        services.AddSingleton<AthleteStreams>();
        services.AddSingleton<DrainOutcome>();
        services.AddHostedService<HallService>();
    }

    private static void AddScreens(IServiceCollection services, HallConfiguration configuration)
    {
        var bands = configuration.Thresholds.SplitBands;
        services.AddBoard(
            TimeZoneInfo.FindSystemTimeZoneById(configuration.Service.TimeZone), FloorSink.Worn(new(configuration.Roster)), new(bands.NearDeg, bands.FarDeg));
        services.AddSingleton<IFactSink, FloorSink>();
        services.AddScoped<IWarningStaff, StaffAnswers>();
        services.AddScoped<IPeopleStaff, PeopleStaff>();
        services.AddSingleton<SensorChecks>();
        services.AddSingleton<ISensorChecks>(provider => provider.GetRequiredService<SensorChecks>());
        services.AddScoped<StoredRuleTrial>();
        services.AddScoped<IRuleTrial>(provider => provider.GetRequiredService<StoredRuleTrial>());
        services.AddScoped<ICountedJumps>(provider => provider.GetRequiredService<StoredRuleTrial>());
        services.AddHostedService<FloorRecords>();
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
            services.AddSingleton<IMessageOut>(provider => new ConsentedOut(provider.GetRequiredService<ExternalBroker>(), provider.GetRequiredService<ConsentGate>()));
            return;
        }

        services.AddSingleton(provider => new AccountBook(configuration.Credentials, provider.GetRequiredService<ILogger<AccountBook>>()));
        services.AddSingleton(provider => new BrokerAccess(
            options, provider.GetRequiredService<AccountBook>(), provider.GetRequiredService<TimeProvider>(), provider.GetRequiredService<ILogger<BrokerAccess>>()));
        services.AddHostedService(provider => provider.GetRequiredService<BrokerAccess>());
        services.AddSingleton<EmbeddedBroker>();
        services.AddSingleton<AbsentSessions>();
        services.AddHostedService(provider => provider.GetRequiredService<AbsentSessions>());
        services.AddSingleton<IPacketSource>(provider => provider.GetRequiredService<EmbeddedBroker>());
        services.AddSingleton<IMessageOut>(provider => new ConsentedOut(provider.GetRequiredService<EmbeddedBroker>(), provider.GetRequiredService<ConsentGate>()));
        services.AddHostedMqttServer(server => server
            .WithoutDefaultEndpoint()
            .WithPersistentSessions()
            .WithMaxPendingMessagesPerClient(options.Broker.EmbeddedBroker.PendingMessages)
            .WithPendingMessagesOverflowStrategy(MqttPendingMessagesOverflowStrategy.DropNewMessage)); // the other one leaks
        services.AddMqttConnectionHandler();
        services.AddConnections();
    }
}

using System.Collections.Concurrent;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Hosting;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>A hall on free loopback ports with two athletes, amber and beryl.</summary>
internal static class TestHall
{
    public const string Hall = "test-hall";

    public static readonly RosterOptions Roster = new()
    {
        Sensors =
        [
            new() { Sensor = "a-trunk", Athlete = "amber", Site = "trunk" },
            new() { Sensor = "a-left", Athlete = "amber", Site = "ankle-left" },
            new() { Sensor = "b-trunk", Athlete = "beryl", Site = "trunk" },
        ],
    };

    public static ServiceOptions Options(int? mosquittoPort = null) => new()
    {
        Hall = Hall,
        Http = new() { Port = 0 },
        People = new() { Anonymous = true },
        Broker = mosquittoPort is { } port
            ? new() { Kind = "external", ExternalBroker = new() { Host = "127.0.0.1", Port = port, ReconnectFirstS = 0.02, ReconnectLongestS = 0.2 } }
            : new() { EmbeddedBroker = new() { Port = 0, Anonymous = true } },
    };

    /// <summary>Starts it; with <paramref name="scripted"/> the measuring is <see cref="ScriptedMeasuring"/>.</summary>
    public static async Task<HallHost> StartAsync(
        ServiceOptions? options = null, bool scripted = true, RosterOptions? roster = null, Action<IServiceCollection>? adjust = null, string? data = null,
        string? brokerPassword = null)
    {
        var configuration = new HallConfiguration(options ?? Options(), roster ?? Roster, new(), brokerPassword).From(data ?? Folders.New());
        var host = await HallHost.BuildAsync(configuration, Serilog.Core.Logger.None, services =>
        {
            if (scripted)
            {
                services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(_ => athlete => new ScriptedMeasuring(athlete));
            }

            adjust?.Invoke(services);
        });
        await host.StartAsync(TestContext.Current.CancellationToken);
        return host;
    }

    /// <summary>Folders of stores and recordings; they go with the test program, because a host may outlive its test's last line.</summary>
    private static class Folders
    {
        private static readonly ConcurrentBag<TemporaryFolder> All = [];

        static Folders() => AppDomain.CurrentDomain.ProcessExit += (_, _) =>
        {
            foreach (var folder in All)
            {
                folder.Dispose();
            }
        };

        public static string New()
        {
            var folder = new TemporaryFolder();
            All.Add(folder);
            return folder.Root;
        }
    }

    public static string Samples(string sensor) => $"saltograph/v1/{Hall}/sensors/{sensor}/samples";

    public static string Jumps(string athlete) => $"saltograph/v1/{Hall}/athletes/{athlete}/jumps";
}

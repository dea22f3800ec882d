using System.Globalization;
using System.Text.Json;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Hosting;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Api;

/// <summary>A hall with stored rows, and a client for its HTTP interface.</summary>
internal sealed class ApiHall : IAsyncDisposable
{
    public const long MorningUs = 1_800_000_000_000_000; // 2027-01-15T08:00:00Z

    private readonly HallHost _host;

    private ApiHall(HallHost host)
    {
        _host = host;
        Client = new() { BaseAddress = new(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{host.HttpPort}")) };
    }

    public HttpClient Client { get; }

    public IServiceProvider Services => _host.Services;

    public HallStore Store => _host.Services.GetRequiredService<HallStore>();

    public T Service<T>()
        where T : notnull => _host.Services.GetRequiredService<T>();

    /// <summary>Starts it.</summary>
    /// <param name="store">Which database.</param>
    /// <param name="zone">Zone of the hall.</param>
    /// <param name="nowUs">Time at which the hall's clock stands; null: it runs.</param>
    public static async Task<ApiHall> StartAsync(StoreSection? store = null, string zone = "UTC", long? nowUs = null)
    {
        var options = TestHall.Options();
        return new(await TestHall.StartAsync(options with { Store = store ?? options.Store, TimeZone = zone }, adjust: services =>
        {
            if (nowUs is { } us)
            {
                services.AddSingleton<TimeProvider>(new Microsoft.Extensions.Time.Testing.FakeTimeProvider(DateTimeOffset.UnixEpoch.AddTicks(us * TimeSpan.TicksPerMicrosecond)));
            }
        }));
    }

    /// <summary>A jump as the service stores it, its shocks and feet varied.</summary>
    public static JumpRow Jump(string athlete, int number, long landingUs, double flightTimeS = 0.4, double? leftG = null, double? rightG = null)
    {
        var record = ScriptedMeasuring.Record(number, flightTimeS) with
        {
            TakeoffTime = new(landingUs - (long)(flightTimeS * 1e6)),
            PeakTime = new(landingUs - (long)(flightTimeS * 5e5)),
            LandingTime = new(landingUs),
            LandingFoot = (number % 4) switch { 0 => null, 1 => Jumps.Foot.Left, 2 => Jumps.Foot.Right, _ => Jumps.Foot.Both },
            LandingShockG = new(null, leftG, rightG),
        };
        return FactRows.Of(new JumpMeasured(new(athlete), ScriptedMeasuring.EventId(athlete, number), record), new HallDays(TimeZoneInfo.Utc));
    }

    public Task StoreAsync(params IEnumerable<JumpRow> jumps) => Store.WriteAsync(async transaction =>
    {
        foreach (var jump in jumps)
        {
            await transaction.AddAthleteAsync(jump.Athlete, jump.LandingUs);
            await transaction.AddJumpAsync(jump);
        }

        return true;
    });

    public async Task<JsonElement> GetAsync(string path)
    {
        using var answer = await Client.GetAsync(new Uri(path, UriKind.Relative), TestContext.Current.CancellationToken);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.IsSuccessStatusCode, $"{path}: {(int)answer.StatusCode} {text}");
        return JsonElement.Parse(text);
    }

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await _host.DisposeAsync();
    }
}

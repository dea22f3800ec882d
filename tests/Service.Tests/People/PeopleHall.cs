using System.Globalization;
using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Configuration;
using Saltograph.Service.Hosting;
using Saltograph.Service.People;
using Saltograph.Service.Tests.Api;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store;

namespace Saltograph.Service.Tests.People;

/// <summary>A hall where people sign in: one person of each role, amber assigned to each of them but the stranger, beryl to nobody.</summary>
internal sealed partial class PeopleHall : IAsyncDisposable
{
    public const string Password = "ribbons and clubs in June";

    public static readonly string[] Everyone = [Roles.Coach, Roles.Medical, Roles.Analyst, Roles.Administrator, Roles.GuardianRead, Stranger];

    /// <summary>A coach without any athlete.</summary>
    public const string Stranger = "stranger";

    private readonly TemporaryFolder _folder;

    private PeopleHall(HallHost host, TemporaryFolder folder) => (Host, _folder) = (host, folder);

    public HallHost Host { get; }

    public string Folder => _folder.Root;

    public Uri Address => new(Host.Address);

    public HallStore Store => Host.Services.GetRequiredService<HallStore>();

    public PeopleBook Book => Host.Services.GetRequiredService<PeopleBook>();

    public static async Task<PeopleHall> StartAsync(Func<ServiceOptions, ServiceOptions>? change = null, bool withPeople = true, Action<IServiceCollection>? adjust = null)
    {
        var folder = new TemporaryFolder();
        var options = TestHall.Options() with { People = new() { SignInsPerMinute = 1000, RequestsPerMinute = 100_000 } };
        var hall = new PeopleHall(await TestHall.StartAsync(
            change?.Invoke(options) ?? options,
            adjust: services =>
            {
                services.Configure<PasswordHasherOptions>(hashing => hashing.IterationCount = 1000); // as many as the service takes would be most of the tests' time
                adjust?.Invoke(services);
            },
            data: folder.Root), folder);
        if (withPeople)
        {
            await hall.AddEverybodyAsync();
        }

        return hall;
    }

    /// <summary>Adds a person with a password, through the desks that the service itself uses.</summary>
    public async Task AddAsync(string name, string role, params string[] athletes)
    {
        var desk = Host.Services.GetRequiredService<PeopleDesk>();
        var stop = TestContext.Current.CancellationToken;
        Assert.Empty((await desk.PutAsync("test", name, [role], active: true, subject: null, stop)).Faults);
        var code = await desk.LinkAsync("test", name, stop);
        Assert.Empty(await Host.Services.GetRequiredService<SignInDesk>().UseLinkAsync(code!, Password, stop));
        foreach (var athlete in athletes)
        {
            await desk.AssignAsync("test", name, athlete, assigned: true, stop);
        }
    }

    /// <summary>A client without cookies that follows no redirection; with a token when one is given.</summary>
    public HttpClient Anybody(string? token = null)
    {
        var client = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = Address };
        client.DefaultRequestHeaders.Authorization = token is null ? null : new AuthenticationHeaderValue("Bearer", token);
        return client;
    }

    /// <summary>A browser of somebody: keeps cookies, follows no redirection.</summary>
    public HttpClient Browser() => new(new SocketsHttpHandler { AllowAutoRedirect = false }) { BaseAddress = Address };

    /// <summary>A browser in which somebody has signed in.</summary>
    public async Task<HttpClient> SignedInAsync(string name, string password = Password)
    {
        var browser = Browser();
        using var answer = await SignInAsync(browser, name, password);
        Assert.Equal(302, (int)answer.StatusCode);
        Assert.DoesNotContain("said=", answer.Headers.Location!.OriginalString, StringComparison.Ordinal);
        return browser;
    }

    /// <summary>Fills in the form of signing in.</summary>
    public static async Task<HttpResponseMessage> SignInAsync(HttpClient browser, string name, string password) =>
        await PostFormAsync(browser, "/sign-in", "/account/sign-in", ("name", name), ("password", password), ("to", "/glossary"));

    /// <summary>Gets a page, and sends one of its forms with its anti-forgery token.</summary>
    public static async Task<HttpResponseMessage> PostFormAsync(HttpClient browser, string page, string action, params (string Key, string Value)[] fields)
    {
        var stop = TestContext.Current.CancellationToken;
        var html = await browser.GetStringAsync(new Uri(page, UriKind.Relative), stop);
        var token = FormToken().Match(html);
        Assert.True(token.Success, $"{page} has no form with an anti-forgery token");
        using var form = new FormUrlEncodedContent(
            [.. fields.Select(field => KeyValuePair.Create(field.Key, field.Value)), KeyValuePair.Create("__RequestVerificationToken", token.Groups["token"].Value)]);
        return await browser.PostAsync(new Uri(action, UriKind.Relative), form, stop);
    }

    /// <summary>A token of a person, made over HTTP.</summary>
    public async Task<string> TokenAsync(string name, params string[] scopes)
    {
        using var browser = await SignedInAsync(name);
        using var answer = await browser.PostAsJsonAsync("/api/v1/tokens", new { label = "a program", scopes, days = 30 }, TestContext.Current.CancellationToken);
        Assert.Equal(201, (int)answer.StatusCode);
        return (await answer.Content.ReadFromJsonAsync<Dictionary<string, System.Text.Json.JsonElement>>(TestContext.Current.CancellationToken))!["token"].GetString()!;
    }

    public async Task StoreJumpsAsync()
    {
        await Store.WriteAsync(async transaction =>
        {
            foreach (var athlete in new[] { "amber", "beryl" })
            {
                for (var number = 1; number <= 3; number++)
                {
                    var jump = ApiHall.Jump(athlete, number, ApiHall.MorningUs + number * 60_000_000L, rightG: 12, leftG: 11);
                    await transaction.AddAthleteAsync(athlete, jump.LandingUs);
                    await transaction.AddJumpAsync(jump);
                }

                await transaction.OpenSessionAsync(new() { Id = $"{athlete}-training", Athlete = athlete, OpenedUs = ApiHall.MorningUs, OpenedBy = "test" });
                await transaction.AddWarningAsync(new()
                {
                    Id = $"{athlete}-warning",
                    Athlete = athlete,
                    Rule = "hard-landing",
                    Channel = "landing",
                    Priority = "high",
                    State = "active",
                    Active = true,
                    RaisedUs = ApiHall.MorningUs,
                    ChangedUs = ApiHall.MorningUs,
                    Detail = "{}",
                });
                await transaction.AddWarningChangeAsync(new() { Warning = $"{athlete}-warning", Number = 1, AtUs = ApiHall.MorningUs, State = "active" });
            }
        });
    }

    public async ValueTask DisposeAsync()
    {
        await Host.DisposeAsync();
        _folder.Dispose();
    }

    private async Task AddEverybodyAsync()
    {
        foreach (var role in Roles.All)
        {
            await AddAsync(role, role, "amber");
        }

        await AddAsync(Stranger, Roles.Coach);
    }

    [GeneratedRegex("name=\"__RequestVerificationToken\" value=\"(?<token>[^\"]+)\"", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex FormToken();
}

using System.Net;
using System.Security.Cryptography;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.IdentityModel.Tokens;
using Saltograph.Service.People;

namespace Saltograph.Service.Tests.People;

/// <summary>Signing in at a provider: the code flow as a browser goes through it, and every way in which its token may be wrong (OpenID Connect Core 1.0 section 3.1.3.7; OWASP ASVS 5.0 chapter 10).</summary>
public sealed class OpenIdTests
{
    private static readonly Dictionary<string, Action<SecurityTokenDescriptor>> Twists = new(StringComparer.Ordinal)
    {
        ["wrong issuer"] = token => token.Issuer = "http://127.0.0.1:1",
        ["wrong audience"] = token => token.Audience = "another-client",
        ["wrong nonce"] = token => token.Claims["nonce"] = "of another sign-in",
        ["no nonce"] = token => token.Claims.Remove("nonce"),
        ["expired"] = token => (token.NotBefore, token.Expires) = (DateTime.UtcNow.AddHours(-2), DateTime.UtcNow.AddHours(-1)),
        ["not valid yet"] = token => (token.NotBefore, token.Expires) = (DateTime.UtcNow.AddHours(1), DateTime.UtcNow.AddHours(2)),
        ["no end"] = token => token.Expires = null,
        ["no subject"] = token => token.Claims.Remove("sub"),
        ["a subject that nobody has"] = token => token.Claims["sub"] = "subject-2",
        ["signed with a key of somebody else"] = token => token.SigningCredentials = new(new RsaSecurityKey(RSA.Create(2048)) { KeyId = "key-1" }, SecurityAlgorithms.RsaSha256),
        ["not signed"] = token => token.SigningCredentials = null,
        ["signed with the public key as a secret"] = token => token.SigningCredentials = new(new SymmetricSecurityKey(new byte[32]) { KeyId = "key-1" }, SecurityAlgorithms.HmacSha256),
    };

    public static TheoryData<string> Wrong => [.. Twists.Keys];

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Signing_in_at_the_provider_gives_the_roles_and_athletes_that_were_given_here()
    {
        await using var provider = await FakeProvider.StartAsync();
        await using var hall = await HallAsync(provider);
        using var browser = hall.Browser();
        Assert.Equal("/glossary", await SignInAsync(hall, browser));
        Assert.Equal(1, provider.Exchanged);
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(browser, "/api/v1/jumps?athlete=amber"));
        Assert.Equal(HttpStatusCode.OK, await StatusAsync(browser, "/api/v1/warnings"));
        Assert.Equal(HttpStatusCode.Forbidden, await StatusAsync(browser, "/api/v1/people"));

        // And the same subject with another role.
        await hall.Host.Services.GetRequiredService<PeopleDesk>().PutAsync("test", Roles.Coach, [Roles.Analyst], active: true, "subject-1", Stop);
        Assert.Equal(HttpStatusCode.Unauthorized, await StatusAsync(browser, "/api/v1/jumps?athlete=amber"));
        using var again = hall.Browser();
        Assert.Equal("/glossary", await SignInAsync(hall, again));
        Assert.Equal(HttpStatusCode.Forbidden, await StatusAsync(again, "/api/v1/people"));
    }

    [Theory]
    [MemberData(nameof(Wrong))]
    public async Task A_token_that_is_wrong_lets_nobody_in(string what)
    {
        await using var provider = await FakeProvider.StartAsync();
        await using var hall = await HallAsync(provider);
        provider.Twist = Twists[what];
        await RefusedAsync(hall, hall.Browser());
        Assert.Equal(1, provider.Exchanged);
        provider.Twist = null;
        using var browser = hall.Browser();
        Assert.Equal("/glossary", await SignInAsync(hall, browser)); // it was the token, not the rest
    }

    [Fact]
    public async Task Somebody_who_was_shut_out_is_not_let_in_by_the_provider()
    {
        await using var provider = await FakeProvider.StartAsync();
        await using var hall = await HallAsync(provider);
        await hall.Host.Services.GetRequiredService<PeopleDesk>().PutAsync("test", Roles.Coach, [Roles.Coach], active: false, "subject-1", Stop);
        await RefusedAsync(hall, hall.Browser());
    }

    [Fact]
    public async Task A_code_counts_in_the_browser_that_asked_for_it_and_once()
    {
        await using var provider = await FakeProvider.StartAsync();
        await using var hall = await HallAsync(provider);
        using var browser = hall.Browser();
        var back = await ToProviderAsync(browser);
        using (var victim = hall.Browser())
        {
            // Somebody sends the address with a code of theirs to somebody else (RFC 6749 section 10.12).
            using var foreign = await victim.GetAsync(back, Stop);
            Assert.Contains("said=provider", foreign.Headers.Location!.OriginalString, StringComparison.Ordinal);
            Assert.Equal(HttpStatusCode.Unauthorized, await StatusAsync(victim, "/api/v1/athletes"));
        }

        using var first = await browser.GetAsync(back, Stop);
        Assert.Equal("/glossary", first.Headers.Location!.OriginalString);
        using var third = hall.Browser();
        using var second = await third.GetAsync(back, Stop);
        Assert.Contains("said=provider", second.Headers.Location!.OriginalString, StringComparison.Ordinal);
    }

    private static async Task<PeopleHall> HallAsync(FakeProvider provider)
    {
        var hall = await PeopleHall.StartAsync(options => options with { People = options.People with { OpenId = new() { Authority = provider.Authority, ClientId = FakeProvider.Client } } });
        Assert.Empty((await hall.Host.Services.GetRequiredService<PeopleDesk>().PutAsync("test", Roles.Coach, [Roles.Coach], active: true, "subject-1", Stop)).Faults);
        await hall.StoreJumpsAsync();
        return hall;
    }

    private static async Task RefusedAsync(PeopleHall hall, HttpClient browser)
    {
        using (browser)
        {
            Assert.StartsWith("/sign-in?said=", await SignInAsync(hall, browser), StringComparison.Ordinal);
            Assert.Equal(HttpStatusCode.Unauthorized, await StatusAsync(browser, "/api/v1/athletes"));
        }
    }

    // Where the browser ends up.
    private static async Task<string> SignInAsync(PeopleHall hall, HttpClient browser)
    {
        using var answer = await browser.GetAsync(await ToProviderAsync(browser), Stop);
        Assert.Equal(HttpStatusCode.Found, answer.StatusCode);
        var to = answer.Headers.Location!;
        return to.IsAbsoluteUri && to.GetLeftPart(UriPartial.Authority) == hall.Address.GetLeftPart(UriPartial.Authority) ? to.PathAndQuery : to.OriginalString;
    }

    // To the provider, and the address that it sends the browser back to.
    private static async Task<Uri> ToProviderAsync(HttpClient browser)
    {
        using var away = await browser.GetAsync(new Uri("/account/open-id?to=/glossary", UriKind.Relative), Stop);
        Assert.Equal(HttpStatusCode.Found, away.StatusCode);
        using var there = await browser.GetAsync(away.Headers.Location!, Stop);
        Assert.True(there.StatusCode == HttpStatusCode.Found, $"{there.StatusCode} at {away.Headers.Location}");
        return there.Headers.Location!;
    }

    private static async Task<HttpStatusCode> StatusAsync(HttpClient browser, string path)
    {
        using var answer = await browser.GetAsync(new Uri(path, UriKind.Relative), Stop);
        return answer.StatusCode;
    }
}

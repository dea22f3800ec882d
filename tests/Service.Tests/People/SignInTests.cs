using System.Net.Http.Json;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.People;
using Saltograph.Service.Tests.Api;

namespace Saltograph.Service.Tests.People;

/// <summary>Signing in and what ends it. Numbers are requirements of OWASP ASVS 5.0.0.</summary>
public sealed class SignInTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    // 6.3.2: no default account and no default password; the link is for one use.
    [Fact]
    public async Task The_first_start_writes_a_link_that_sets_the_first_password_once()
    {
        await using var hall = await PeopleHall.StartAsync(withPeople: false);
        var file = Path.Combine(hall.Folder, "data", PeopleDesk.LinkFile);
        Assert.True(OperatingSystem.IsWindows() || File.GetUnixFileMode(file) == (UnixFileMode.UserRead | UnixFileMode.UserWrite));
        var link = new Uri((await File.ReadAllTextAsync(file, Stop)).Trim());
        Assert.Equal("/set-password", link.AbsolutePath);
        Assert.Empty(link.Query); // 14.2.1: nothing secret where servers and proxies write it down
        using var browser = hall.Browser();
        using (var refused = await PeopleHall.SignInAsync(browser, "administrator", ""))
        {
            Assert.Contains("said=wrong", refused.Headers.Location!.OriginalString, StringComparison.Ordinal);
        }

        async Task<string> UseAsync(string password)
        {
            using var answer = await PeopleHall.PostFormAsync(
                browser, "/set-password", "/account/set-password", ("code", link.Fragment[1..]), ("password", password), ("again", password));
            return answer.Headers.Location!.OriginalString;
        }

        Assert.Equal("/set-password?said=weak", await UseAsync("short"));
        Assert.Equal("/set-password?said=weak", await UseAsync("administrator-1"));
        Assert.Equal("/set-password?said=weak", await UseAsync("abcdeabcdeabcdeabcde"));
        Assert.Equal("/sign-in?said=set", await UseAsync(PeopleHall.Password));
        Assert.Equal("/set-password?said=link", await UseAsync("another long password"));
        using var signedIn = await hall.SignedInAsync("administrator");
        using var people = await signedIn.GetAsync(new Uri("/api/v1/people/", UriKind.Relative), Stop);
        Assert.Equal(200, (int)people.StatusCode);
    }

    // 6.3.1: guessing is slowed down for the account, and nothing tells whether a name exists (6.3.8).
    [Fact]
    public async Task An_account_rests_after_wrong_passwords_and_the_answer_is_the_same_as_for_a_name_that_is_not_known()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var browser = hall.Browser();
        async Task<string> TryAsync(string name, string password)
        {
            using var answer = await PeopleHall.SignInAsync(browser, name, password);
            return answer.Headers.Location!.OriginalString;
        }

        var unknown = await TryAsync("nobody-known", "wrong wrong wrong");
        for (var attempt = 0; attempt < 5; attempt++)
        {
            Assert.Equal(unknown, await TryAsync(Roles.Coach, "wrong wrong wrong"));
        }

        Assert.Equal(unknown, await TryAsync(Roles.Coach, PeopleHall.Password));
        Assert.NotNull(hall.Book.Find(Roles.Coach)!.LockedUntilUs);
        Assert.DoesNotContain("said=", await TryAsync(Roles.Medical, PeopleHall.Password), StringComparison.Ordinal);
    }

    // 2.4.1, 6.3.1: and for the address, with the time to wait (RFC 6585 section 4).
    [Fact]
    public async Task An_address_that_tries_too_often_is_told_to_wait()
    {
        await using var hall = await PeopleHall.StartAsync(options => options with { People = options.People with { SignInsPerMinute = 3 } }, withPeople: false);
        using var browser = hall.Browser();
        for (var attempt = 0; attempt < 3; attempt++)
        {
            using var _ = await PeopleHall.SignInAsync(browser, "x", "y");
        }

        using var answer = await PeopleHall.SignInAsync(browser, "x", "y");
        Assert.Equal(429, (int)answer.StatusCode);
        Assert.InRange(answer.Headers.RetryAfter!.Delta!.Value.TotalSeconds, 1, 60);
    }

    // 3.3.1 to 3.3.4 over TLS: Secure, __Host-, SameSite, HttpOnly; 3.4.1 HSTS of a year at least; 12.1.1 TLS 1.2 or 1.3 is shared with the broker and tested there.
    [Fact]
    public async Task Over_tls_cookies_are_host_only_secure_and_out_of_reach_of_scripts()
    {
        using var certificates = new Security.TestCertificates();
        using var folder = new TemporaryFolder();
        certificates.WriteServer(folder.File("server.crt"), folder.File("server.key"));
        await using var hall = await PeopleHall.StartAsync(options => options with
        {
            Http = options.Http with { CertificateFile = folder.File("server.crt"), CertificateKeyFile = folder.File("server.key"), Hosts = "localhost" },
        });
        using var browser = new HttpClient(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            SslOptions = new() { RemoteCertificateValidationCallback = (_, certificate, _, _) => certificate!.Issuer == certificates.Authority.Subject },
        })
        { BaseAddress = hall.Address };
        Assert.Equal("https", hall.Address.Scheme);
        using var answer = await PeopleHall.SignInAsync(browser, Roles.Coach, PeopleHall.Password);
        var cookie = Assert.Single(answer.Headers.GetValues("Set-Cookie"), text => text.StartsWith("__Host-session=", StringComparison.Ordinal));
        foreach (var part in new[] { "secure", "httponly", "samesite=lax", "path=/" })
        {
            Assert.Contains(part, cookie, StringComparison.OrdinalIgnoreCase);
        }

        Assert.DoesNotContain("domain=", cookie, StringComparison.OrdinalIgnoreCase);
    }

    // 7.4.1: signing out ends the session at the server, so that a copy of the cookie is worth nothing.
    [Fact]
    public async Task A_copied_cookie_ends_with_the_session()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var browser = hall.Browser();
        using var signIn = await PeopleHall.SignInAsync(browser, Roles.Coach, PeopleHall.Password);
        var cookie = signIn.Headers.GetValues("Set-Cookie").Single(text => text.StartsWith("session=", StringComparison.Ordinal)).Split(';')[0];
        using var thief = hall.Anybody();
        thief.DefaultRequestHeaders.Add("Cookie", cookie);
        Assert.Equal(200, await StatusAsync(thief, "/api/v1/jumps"));
        using (var signOut = await PeopleHall.PostFormAsync(browser, "/account", "/account/sign-out", ("now", "yes")))
        {
            Assert.Equal("/sign-in?said=out", signOut.Headers.Location!.OriginalString);
        }

        Assert.Equal(401, await StatusAsync(thief, "/api/v1/jumps"));
        Assert.Equal(401, await StatusAsync(browser, "/api/v1/jumps"));
    }

    // 7.4.3, 8.3.2: changed roles, being shut out and a new password end sessions at once.
    [Fact]
    public async Task Changed_roles_and_being_shut_out_end_sessions_at_once()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var coach = await hall.SignedInAsync(Roles.Coach);
        using var analyst = await hall.SignedInAsync(Roles.Analyst);
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        using (await administrator.PutAsJsonAsync("/api/v1/people/coach", new { roles = new[] { "guardian-read" } }, Stop))
        using (await administrator.PutAsJsonAsync("/api/v1/people/analyst", new { roles = new[] { "analyst" }, active = false }, Stop))
        {
            Assert.Equal(401, await StatusAsync(coach, "/api/v1/jumps"));
            Assert.Equal(401, await StatusAsync(analyst, "/api/v1/jumps"));
        }

        using var again = hall.Browser();
        using var refused = await PeopleHall.SignInAsync(again, Roles.Analyst, PeopleHall.Password);
        Assert.Contains("said=wrong", refused.Headers.Location!.OriginalString, StringComparison.Ordinal);
        using var last = await administrator.PutAsJsonAsync("/api/v1/people/administrator", new { roles = new[] { "coach" } }, Stop);
        Assert.Equal(400, (int)last.StatusCode); // somebody must be left who can let others in
    }

    // 7.3.1, 7.3.2: idle and absolute limits.
    [Fact]
    public async Task A_session_ends_when_idle_too_long_and_at_its_longest_however_it_is_used()
    {
        var time = new Microsoft.Extensions.Time.Testing.FakeTimeProvider(DateTimeOffset.UtcNow);
        await using var hall = await PeopleHall.StartAsync(
            options => options with { People = options.People with { IdleMinutes = 60, LongestHours = 2 } }, adjust: services => services.AddSingleton<TimeProvider>(time));
        using var idle = await hall.SignedInAsync(Roles.Coach);
        using var busy = await hall.SignedInAsync(Roles.Coach);
        for (var minute = 0; minute < 120; minute += 40)
        {
            time.Advance(TimeSpan.FromMinutes(40));
            Assert.Equal(minute < 80 ? 200 : 401, await StatusAsync(busy, "/api/v1/jumps"));
            if (minute > 0)
            {
                Assert.Equal(401, await StatusAsync(idle, "/api/v1/jumps"));
            }

            time.Advance(TimeSpan.FromSeconds(1));
        }
    }

    // 3.5.1: a form without its token does nothing; nor does a request that another site makes a browser send. 4.4.2: nor a socket.
    [Fact]
    public async Task Another_site_cannot_act_through_a_browser_that_is_signed_in()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var coach = await hall.SignedInAsync(Roles.Coach);
        using var form = new FormUrlEncodedContent([KeyValuePair.Create("now", "yes")]);
        using var forged = await coach.PostAsync(new Uri("/account/sign-out", UriKind.Relative), form, Stop);
        Assert.Equal(400, (int)forged.StatusCode);
        foreach (var (header, value) in new[] { ("Origin", "https://elsewhere.example"), ("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Site", "same-site") })
        {
            using var request = new HttpRequestMessage(HttpMethod.Delete, "/api/v1/athletes/amber/plans/2027-01-15/plan");
            request.Headers.Add(header, value);
            using var answer = await coach.SendAsync(request, Stop);
            Assert.Equal(403, (int)answer.StatusCode);
        }

        using var socket = new HttpRequestMessage(HttpMethod.Get, "/_blazor");
        socket.Headers.Add("Origin", "https://elsewhere.example");
        socket.Headers.Add("Connection", "Upgrade");
        socket.Headers.Add("Upgrade", "websocket");
        using var opened = await coach.SendAsync(socket, Stop);
        Assert.Equal(403, (int)opened.StatusCode);
        Assert.Equal(200, await StatusAsync(coach, "/api/v1/jumps"));
    }

    // 3.4.2 to 3.4.6 and 14.3.2: what every answer says, and what none says (CORS).
    [Theory]
    [InlineData("/sign-in")]
    [InlineData("/api/v1/jumps")]
    [InlineData("/health/ready")]
    [InlineData("/nothing-here")]
    public async Task Every_answer_has_the_headers_that_keep_browsers_from_harm(string path)
    {
        await using var hall = await PeopleHall.StartAsync();
        using var coach = await hall.SignedInAsync(Roles.Coach);
        using var request = new HttpRequestMessage(HttpMethod.Get, path);
        request.Headers.Add("Origin", "https://elsewhere.example");
        using var answer = await coach.SendAsync(request, Stop);
        var policy = string.Join("; ", answer.Headers.GetValues("Content-Security-Policy"));
        foreach (var part in new[] { "default-src 'self'", "script-src 'self'", "object-src 'none'", "base-uri 'self'", "frame-ancestors 'none'", "form-action 'self'" })
        {
            Assert.Contains(part, policy, StringComparison.Ordinal);
        }

        Assert.Equal("nosniff", answer.Headers.GetValues("X-Content-Type-Options").Single());
        Assert.Equal("same-origin", answer.Headers.GetValues("Referrer-Policy").Single());
        Assert.True(answer.Headers.CacheControl!.NoStore);
        Assert.False(answer.Headers.Contains("Access-Control-Allow-Origin"));
        Assert.False(answer.Headers.Contains("Server"));
    }

    // 13.4.4 and names of hosts: TRACE does nothing, and a name that a foreign name server points here is refused.
    [Fact]
    public async Task Trace_and_foreign_host_names_are_refused()
    {
        await using var hall = await PeopleHall.StartAsync(withPeople: false);
        using var client = hall.Anybody();
        using var trace = new HttpRequestMessage(HttpMethod.Trace, "/sign-in");
        using var traced = await client.SendAsync(trace, Stop);
        Assert.True((int)traced.StatusCode is 401 or 404 or 405, $"{traced.StatusCode}");
        using var foreign = new HttpRequestMessage(HttpMethod.Get, "/sign-in");
        foreign.Headers.Host = "rebound.example";
        using var refused = await client.SendAsync(foreign, Stop);
        Assert.Equal(400, (int)refused.StatusCode);
    }

    // 11.4.2: the work of a guess is what the service is set up for, at least 210 000 rounds of HMAC-SHA-512 (the usual advice, from memory).
    [Fact]
    public async Task Passwords_are_kept_with_the_work_that_guessing_them_shall_cost()
    {
        await using var hall = await ApiHall.StartAsync();
        Assert.True(hall.Service<Microsoft.Extensions.Options.IOptions<Microsoft.AspNetCore.Identity.PasswordHasherOptions>>().Value.IterationCount >= 210_000);
    }

    // An open redirection would lend this service's name to another site.
    [Theory]
    [InlineData("https://elsewhere.example/")]
    [InlineData("//elsewhere.example/")]
    [InlineData("/\\elsewhere.example")]
    [InlineData("javascript:alert(1)")]
    public void After_signing_in_one_stays_on_this_service(string to) => Assert.Equal("/", AccountEndpoints.Inside(to));

    private static async Task<int> StatusAsync(HttpClient client, string path)
    {
        using var answer = await client.GetAsync(new Uri(path, UriKind.Relative), Stop);
        return (int)answer.StatusCode;
    }
}

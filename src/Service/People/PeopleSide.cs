using System.Globalization;
using System.Net;
using System.Threading.RateLimiting;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Components.Server.Circuits;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.HttpOverrides;
using Microsoft.AspNetCore.Identity;
using Saltograph.Board.Access;
using Saltograph.Service.Configuration;
using Saltograph.Service.Privacy;
using Saltograph.Store;

namespace Saltograph.Service.People;

/// <summary>Who may ask over HTTP: signing in, rights, limits. What has no right of its own is denied.</summary>
internal static class PeopleSide
{
    /// <summary>Claims of a principal: name, session, stamp, begin of the session (s since 1970), whether it is everybody.</summary>
    public const string NameClaim = "name", SessionClaim = "session", StampClaim = "stamp", SinceClaim = "since", EverybodyClaim = "everybody";

    /// <summary>How the audit trail calls whoever asks where nobody signs in.</summary>
    public const string Nobody = "nobody";

    /// <summary>Limit of attempts to sign in.</summary>
    public const string SignInLimit = "sign-in";

    private const string Select = "select";
    private const int PasswordIterations = 210_000; // PBKDF2 with HMAC-SHA-512; the figure of the usual advice, from memory

    /// <summary>Whether cookies travel over TLS only: with a certificate here, or at a proxy in front.</summary>
    public static bool IsTls(HttpOptions http) => http.CertificateFile.Length > 0 || http.TlsElsewhere;

    /// <summary>Registers it.</summary>
    public static void Add(IServiceCollection services, HallConfiguration configuration)
    {
        var (http, people) = (configuration.Service.Http, configuration.Service.People);
        services.AddSingleton(configuration.Service);
        services.AddSingleton<PeopleBook>();
        services.AddSingleton<SessionTickets>();
        services.AddScoped<Onlooker>();
        services.AddScoped<IOnlooker>(provider => provider.GetRequiredService<Onlooker>());
        services.AddScoped<CircuitHandler, Onlooker.OfCircuit>();
        services.AddScoped(provider => provider.GetRequiredService<HallStore>().Seen(provider.GetRequiredService<Onlooker>().Sight));
        services.AddSingleton<SignInDesk>();
        services.AddSingleton<IAccountWays>(new Ways(people));
        services.AddSingleton<PeopleDesk>();
        services.AddSingleton<ConsentGate>();
        services.AddSingleton<ConsentDesk>();
        services.AddSingleton<AthleteNames>();
        services.AddSingleton<AthleteKeys>();
        services.AddSingleton<AthleteExport>();
        services.AddSingleton<Erasure>();
        DataKeys.Add(services, people);
        AddIdentity(services, people);
        AddSchemes(services, http, people);
        services.AddAuthorization(options =>
        {
            foreach (var right in Rights.All)
            {
                options.AddPolicy(right, policy => policy.RequireAuthenticatedUser().RequireClaim(Rights.ClaimType, right));
            }

            options.FallbackPolicy = options.GetPolicy(Rights.Undeclared);
        });
        services.AddAntiforgery(options =>
        {
            options.Cookie.Name = IsTls(http) ? "__Host-form" : "form";
            options.Cookie.SecurePolicy = IsTls(http) ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;
            options.Cookie.SameSite = SameSiteMode.Strict;
        });
        services.AddHostFiltering(options => options.AllowedHosts =
            [.. http.Hosts.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries), "localhost", "127.0.0.1", "[::1]", .. OwnAddress(http)]);
        services.AddHsts(options => options.MaxAge = TimeSpan.FromDays(365));
        AddLimits(services, people);
    }

    /// <summary>Puts it before the endpoints.</summary>
    public static void Use(WebApplication app, HallConfiguration configuration)
    {
        var http = configuration.Service.Http;
        if (http.TlsElsewhere)
        {
            // Of the next hop only, and only from this machine or a private network of containers in front.
            app.UseForwardedHeaders(new ForwardedHeadersOptions
            {
                ForwardedHeaders = ForwardedHeaders.XForwardedProto | ForwardedHeaders.XForwardedFor,
                KnownIPNetworks = { new(IPAddress.Parse("10.0.0.0"), 8), new(IPAddress.Parse("172.16.0.0"), 12), new(IPAddress.Parse("192.168.0.0"), 16) },
            });
        }

        app.UseHostFiltering();
        if (IsTls(http))
        {
            app.UseHsts();
        }

        app.UseRouting();
        app.UseAuthentication();
        app.UseRateLimiter();
        app.UseMiddleware<SameSite>();
        app.UseAuthorization();
        app.Use((context, next) =>
        {
            context.RequestServices.GetRequiredService<Onlooker>().Is(context.User);
            return next(context);
        });
        app.UseMiddleware<AuditTrail>();
    }

    private static IEnumerable<string> OwnAddress(HttpOptions http) => ServiceOptionsRules.IsLoopback(http.Address) ? [http.Address] : [];

    private static void AddIdentity(IServiceCollection services, PeopleOptions people)
    {
        services.Configure<PasswordHasherOptions>(options => options.IterationCount = PasswordIterations);
        services.AddIdentityCore<Person>(options =>
        {
            options.User.AllowedUserNameCharacters = "abcdefghijklmnopqrstuvwxyz0123456789-";

            // Length counts, mixtures do not: ASVS 5.0 6.2.1 and 6.2.5.
            options.Password.RequiredLength = Passwords.Shortest;
            options.Password.RequireDigit = false;
            options.Password.RequireLowercase = false;
            options.Password.RequireUppercase = false;
            options.Password.RequireNonAlphanumeric = false;
            options.Password.RequiredUniqueChars = 5;
            options.Lockout.MaxFailedAccessAttempts = people.WrongPasswords;
            options.Lockout.DefaultLockoutTimeSpan = TimeSpan.FromMinutes(people.RestMinutes);
        }).AddUserStore<PersonStore>().AddPasswordValidator<Passwords>();
        services.AddSingleton<ILookupNormalizer, AsItIs>();
    }

    private static void AddSchemes(IServiceCollection services, HttpOptions http, PeopleOptions people)
    {
        var schemes = services.AddAuthentication(Select)
            .AddPolicyScheme(Select, null, options => options.ForwardDefaultSelector = context =>
                people.Anonymous ? EverybodyScheme.Name : TokenScheme.IsIn(context.Request) ? TokenScheme.Name : CookieAuthenticationDefaults.AuthenticationScheme)
            .AddScheme<AuthenticationSchemeOptions, EverybodyScheme>(EverybodyScheme.Name, null)
            .AddScheme<AuthenticationSchemeOptions, TokenScheme>(TokenScheme.Name, null)
            .AddCookie();
        services.AddOptions<CookieAuthenticationOptions>(CookieAuthenticationDefaults.AuthenticationScheme).Configure<SessionTickets, PeopleBook>((options, tickets, book) =>
            SessionCookie.Configure(options, tickets, book, http, people));
        if (people.OpenId.Authority.Length > 0)
        {
            OpenIdSignIn.Add(schemes, http, people.OpenId);
        }
    }

    private static void AddLimits(IServiceCollection services, PeopleOptions people) => services.AddRateLimiter(options =>
    {
        options.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
        options.OnRejected = (rejected, _) =>
        {
            var wait = rejected.Lease.TryGetMetadata(MetadataName.RetryAfter, out var after) ? after : TimeSpan.FromMinutes(1);
            rejected.HttpContext.Response.Headers.RetryAfter = Math.Ceiling(wait.TotalSeconds).ToString(CultureInfo.InvariantCulture);
            rejected.HttpContext.RequestServices.GetRequiredService<ILogger<SignInDesk>>().TooManyRequests(rejected.HttpContext.GetEndpoint()?.DisplayName ?? "no route");
            return ValueTask.CompletedTask;
        };
        options.GlobalLimiter = PartitionedRateLimiter.Create<HttpContext, string>(context =>
            people.Anonymous ? RateLimitPartition.GetNoLimiter("everybody") : RateLimitPartition.GetSlidingWindowLimiter(
                context.User.FindFirst(NameClaim)?.Value ?? Address(context),
                _ => new() { PermitLimit = people.RequestsPerMinute, Window = TimeSpan.FromMinutes(1), SegmentsPerWindow = 6 }));
        options.AddPolicy(SignInLimit, context => RateLimitPartition.GetFixedWindowLimiter(
            Address(context), _ => new() { PermitLimit = people.SignInsPerMinute, Window = TimeSpan.FromMinutes(1) }));
    });

    private static string Address(HttpContext context) => context.Connection.RemoteIpAddress?.ToString() ?? "";

    private sealed class Ways(PeopleOptions people) : IAccountWays
    {
        public bool IsOpen => people.Anonymous;

        public string? ProviderLabel => people.OpenId.Authority.Length > 0 ? people.OpenId.Label : null;
    }

    private sealed class AsItIs : ILookupNormalizer
    {
        public string? NormalizeName(string? name) => name;

        public string? NormalizeEmail(string? email) => email;
    }
}

using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.IdentityModel.JsonWebTokens;
using Microsoft.IdentityModel.Tokens;
using HttpResults = Microsoft.AspNetCore.Http.Results;

namespace Saltograph.Service.Tests.People;

/// <summary>
/// A provider of OpenID Connect (OpenID Connect Core 1.0, Discovery 1.0; RFC 6749 section 4.1; RFC 7636) on a loopback port: discovery, keys, authorisation code with PKCE, signed ID tokens. Whoever
/// comes is <see cref="Subject"/>; <see cref="Twist"/> makes its tokens wrong.
/// </summary>
internal sealed class FakeProvider : IAsyncDisposable
{
    public const string Client = "saltograph";

    private readonly WebApplication _app;
    private readonly RsaSecurityKey _key = new(RSA.Create(2048)) { KeyId = "key-1" };
    private readonly ConcurrentDictionary<string, (string Nonce, string Challenge, string Back)> _codes = new(StringComparer.Ordinal);

    private FakeProvider(WebApplication app) => _app = app;

    public string Authority => _app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single();

    /// <summary>Who signs in.</summary>
    public string Subject { get; set; } = "subject-1";

    /// <summary>Changes an ID token before it is signed.</summary>
    public Action<SecurityTokenDescriptor>? Twist { get; set; }

    /// <summary>Codes that were exchanged for tokens.</summary>
    public int Exchanged { get; private set; }

    public static async Task<FakeProvider> StartAsync()
    {
        var builder = WebApplication.CreateEmptyBuilder(new());
        builder.WebHost.UseKestrelCore().UseUrls("http://127.0.0.1:0");
        builder.Services.AddRoutingCore();
        var app = builder.Build();
        var provider = new FakeProvider(app);
        app.UseRouting();
        app.MapGet("/.well-known/openid-configuration", provider.Discover);
        app.MapGet("/keys", () => HttpResults.Json(new { keys = new[] { provider.PublicKey } }));
        app.MapGet("/authorize", provider.Authorize);
        app.MapPost("/token", provider.ExchangeAsync);
        await app.StartAsync(TestContext.Current.CancellationToken);
        return provider;
    }

    public async ValueTask DisposeAsync()
    {
        await _app.DisposeAsync();
        _key.Rsa.Dispose();
    }

    private object PublicKey
    {
        get
        {
            var numbers = _key.Rsa.ExportParameters(includePrivateParameters: false);
            return new { kty = "RSA", use = "sig", alg = "RS256", kid = _key.KeyId, n = Base64UrlEncoder.Encode(numbers.Modulus), e = Base64UrlEncoder.Encode(numbers.Exponent) };
        }
    }

    private IResult Discover() => HttpResults.Json(new Dictionary<string, object>(StringComparer.Ordinal)
    {
        ["issuer"] = Authority,
        ["authorization_endpoint"] = $"{Authority}/authorize",
        ["token_endpoint"] = $"{Authority}/token",
        ["jwks_uri"] = $"{Authority}/keys",
        ["response_types_supported"] = new[] { "code" },
        ["subject_types_supported"] = new[] { "public" },
        ["id_token_signing_alg_values_supported"] = new[] { "RS256" },
        ["code_challenge_methods_supported"] = new[] { "S256" },
    });

    private IResult Authorize(HttpRequest request)
    {
        var asked = request.Query;
        if (asked["client_id"] != Client || asked["response_type"] != "code" || asked["code_challenge_method"] != "S256" || asked["scope"] != "openid" || asked["nonce"].Count != 1)
        {
            return HttpResults.BadRequest();
        }

        var (code, back) = (Base64UrlEncoder.Encode(RandomNumberGenerator.GetBytes(16)), asked["redirect_uri"].ToString());
        _codes[code] = (asked["nonce"].ToString(), asked["code_challenge"].ToString(), back);
        return HttpResults.Redirect(QueryHelpers.AddQueryString(back, new Dictionary<string, string?>(StringComparer.Ordinal) { ["code"] = code, ["state"] = asked["state"] }));
    }

    private async Task<IResult> ExchangeAsync(HttpRequest request)
    {
        var form = await request.ReadFormAsync(request.HttpContext.RequestAborted);
        var challenge = Base64UrlEncoder.Encode(SHA256.HashData(Encoding.ASCII.GetBytes(form["code_verifier"].ToString()))); // RFC 7636 section 4.6
        if (form["grant_type"] != "authorization_code" || form["client_id"] != Client || !_codes.TryRemove(form["code"].ToString(), out var asked)
            || asked.Challenge != challenge || asked.Back != form["redirect_uri"])
        {
            return HttpResults.Json(new { error = "invalid_grant" }, statusCode: StatusCodes.Status400BadRequest);
        }

        Exchanged++;
        var now = DateTime.UtcNow;
        var descriptor = new SecurityTokenDescriptor
        {
            Issuer = Authority,
            Audience = Client,
            IssuedAt = now,
            NotBefore = now.AddMinutes(-1),
            Expires = now.AddMinutes(5),
            Claims = new Dictionary<string, object>(StringComparer.Ordinal) { ["sub"] = Subject, ["nonce"] = asked.Nonce },
            SigningCredentials = new(_key, SecurityAlgorithms.RsaSha256),
        };
        Twist?.Invoke(descriptor);
        var token = new JsonWebTokenHandler { SetDefaultTimesOnTokenCreation = false }.CreateToken(descriptor);
        return HttpResults.Json(new { access_token = "none", token_type = "Bearer", expires_in = 300, id_token = token });
    }
}

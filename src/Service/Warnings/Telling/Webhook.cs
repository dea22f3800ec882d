using System.Globalization;
using System.Net.Http.Headers;
using System.Security.Cryptography;
using System.Text;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Warnings.Telling;

/// <summary>
/// Posts the event to a web address. The receiver can tell who sent it and when: header <c>Saltograph-Signature</c> is <c>sha256=</c> and the HMAC-SHA256
/// (RFC 2104, hexadecimal) of the timestamp, a full stop and the body; <c>Saltograph-Timestamp</c> is in seconds since 1970.
/// </summary>
internal sealed class Webhook(Uri address, string secret, HttpClient http, TimeProvider time) : IWarningChannel
{
    /// <summary>Headers.</summary>
    public const string TimestampHeader = "Saltograph-Timestamp", SignatureHeader = "Saltograph-Signature";

    /// <inheritdoc/>
    public string Name => "webhook";

    /// <summary>A client that waits at most 10 s and follows nobody elsewhere.</summary>
    public static HttpClient Client() => new(new SocketsHttpHandler { AllowAutoRedirect = false, PooledConnectionLifetime = TimeSpan.FromMinutes(10) }) { Timeout = TimeSpan.FromSeconds(10) };

    /// <summary>The code of a text.</summary>
    public static string Code(string secret, ReadOnlySpan<byte> text) => Convert.ToHexStringLower(HMACSHA256.HashData(Encoding.UTF8.GetBytes(secret), text));

    /// <inheritdoc/>
    public async Task SendAsync(WarningNews news, CancellationToken stop)
    {
        var timestamp = time.GetUtcNow().ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture);
        byte[] signed = [.. Encoding.ASCII.GetBytes(timestamp + "."), .. news.Event.Span];
        using var request = new HttpRequestMessage(HttpMethod.Post, address) { Content = new ReadOnlyMemoryContent(news.Event) };
        request.Content.Headers.ContentType = new MediaTypeHeaderValue(CloudEventAttributes.StructuredContentType, "utf-8");
        request.Headers.Add(TimestampHeader, timestamp);
        request.Headers.Add(SignatureHeader, "sha256=" + Code(secret, signed));
        using var answer = await http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, stop);
        if (!answer.IsSuccessStatusCode)
        {
            throw new TellingRefusedException(string.Create(CultureInfo.InvariantCulture, $"the receiver answered {(int)answer.StatusCode}"));
        }
    }
}

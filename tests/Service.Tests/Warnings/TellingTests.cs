using System.Collections.Concurrent;
using System.Net;
using System.Text.Json;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using MimeKit;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Service.Warnings.Telling;
using SmtpServer;
using SmtpServer.ComponentModel;
using SmtpServer.Protocol;
using SmtpServer.Storage;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>Ways out against a real web server and a real mail server on loopback.</summary>
public sealed class TellingTests : IDisposable
{
    private const string Secret = "a-secret-of-the-test";
    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public void The_code_is_that_of_the_standard() =>
        // RFC 4231, test case 2.
        Assert.Equal("5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843", Webhook.Code("Jefe", "what do ya want for nothing?"u8));

    [Fact]
    public async Task A_webhook_is_signed_tried_again_and_told_once()
    {
        var port = FreeTcpPort.Find();
        using var listener = new HttpListener();
        listener.Prefixes.Add($"http://127.0.0.1:{port}/");
        listener.Start();
        var options = Options with { WebhookUrl = $"http://127.0.0.1:{port}/warnings", FirstWaitS = 0.01 };
        using var http = Webhook.Client();
        using var telling = Telling(new Webhook(new(options.WebhookUrl), Secret, http, TimeProvider.System), options);
        await telling.StartAsync(Stop);
        telling.Changed(Change(1, announce: false)); // nobody is to be told now
        telling.Changed(Change(2) with { Priority = WarningPriority.Low }); // below what is told
        telling.Changed(Change(3));

        foreach (var status in new[] { 503, 500, 204 })
        {
            var context = await listener.GetContextAsync().WaitAsync(TimeSpan.FromSeconds(30), Stop);
            using var body = new MemoryStream();
            await context.Request.InputStream.CopyToAsync(body, Stop);
            byte[] signed = [.. System.Text.Encoding.ASCII.GetBytes(context.Request.Headers[Webhook.TimestampHeader] + "."), .. body.ToArray()];
            Assert.Equal("sha256=" + Webhook.Code(Secret, signed), context.Request.Headers[Webhook.SignatureHeader]);
            Assert.Equal("w.3", JsonDocument.Parse(body.ToArray()).RootElement.GetProperty("id").GetString());
            context.Response.StatusCode = status;
            context.Response.Close();
        }

        await telling.StopAsync(Stop);
        Assert.False(File.Exists(options.NotToldFile));
    }

    [Fact]
    public async Task What_cannot_be_told_is_in_the_file_and_the_log_holds_no_secret()
    {
        var options = Options with { WebhookUrl = $"http://127.0.0.1:{FreeTcpPort.Find()}/?key=hidden-in-the-address", FirstWaitS = 0.01, Attempts = 2 };
        using var http = Webhook.Client();
        var log = new Lines();
        using var telling = Telling(new Webhook(new(options.WebhookUrl), Secret, http, TimeProvider.System), options, log);
        await telling.StartAsync(Stop);
        telling.Changed(Change(1));
        await log.UntilAsync("could not be told");
        await telling.StopAsync(Stop);
        var line = JsonDocument.Parse(Assert.Single(await File.ReadAllLinesAsync(options.NotToldFile, Stop))).RootElement;
        Assert.Equal("webhook", line.GetProperty("way").GetString());
        Assert.Equal("w.1", line.GetProperty("cloudEvent").GetProperty("id").GetString());
        Assert.DoesNotContain(log.All, text => text.Contains(Secret, StringComparison.Ordinal) || text.Contains("hidden", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Of_a_flood_one_is_told()
    {
        var way = new Noted();
        using var telling = Telling(way, Options);
        await telling.StartAsync(Stop);
        telling.Changed(Change(1));
        telling.Changed(Change(2) with { FloodGroup = "flood.landing.1" });
        telling.Changed(Change(3) with { FloodGroup = "flood.landing.1" });
        telling.Changed(Change(4));
        await way.UntilAsync(3);
        await telling.StopAsync(Stop);
        Assert.Equal("w.1 w.2 w.4", string.Join(' ', way.Ids));
    }

    [Fact]
    public async Task A_mail_reaches_a_mail_server_with_pseudonym_rule_reason_and_caution()
    {
        var port = FreeTcpPort.Find();
        var box = new Box();
        var services = new ServiceProvider();
        services.Add(box);
        using var end = CancellationTokenSource.CreateLinkedTokenSource(Stop);
        var running = new SmtpServer.SmtpServer(
            new SmtpServerOptionsBuilder().ServerName("localhost").Endpoint(endpoint => endpoint.Endpoint(new(IPAddress.Loopback, port))).Build(), services).StartAsync(end.Token);
        var options = Options with { MailHost = "127.0.0.1", MailPort = port, MailSecurity = "none", MailFrom = "hall@example.org", MailTo = "coach@example.org, physio@example.org", FirstWaitS = 0.05 };
        Assert.Empty(options.Faults());
        using var telling = Telling(new Mail(options, null), options);
        await telling.StartAsync(Stop);
        telling.Changed(Change(1));
        var mail = await box.Arrived.Task.WaitAsync(TimeSpan.FromSeconds(30), Stop);
        await telling.StopAsync(Stop);
        await end.CancelAsync();
        await running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing | ConfigureAwaitOptions.ContinueOnCapturedContext);

        Assert.Equal("Warning, high: hard-landings, amber", mail.Subject);
        Assert.Equal(2, mail.To.Count);
        Assert.Contains("2 hard landings in 5.", mail.TextBody, StringComparison.Ordinal);
        Assert.Contains("not a medical device", mail.TextBody, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void Settings_that_would_tell_in_the_clear_or_to_nobody_are_refused()
    {
        Assert.Empty(new TellOptions().Faults());
        Assert.Equal("tell.webhookUrl", Assert.Single(new TellOptions { WebhookUrl = "http://example.org/x" }.Faults()).Key);
        Assert.Equal(
            ["tell.mailSecurity", "tell.mailFrom", "tell.mailTo"],
            new TellOptions { MailHost = "mail.example.org", MailSecurity = "none" }.Faults().Select(fault => fault.Key), StringComparer.Ordinal);
        Assert.Equal("tell.lowestPriority", Assert.Single(new TellOptions { LowestPriority = "7" }.Faults()).Key);
    }

    public void Dispose() => _folder.Dispose();

    private static WarningChange Change(int number, bool announce = true) => new()
    {
        WarningId = "w",
        Number = number,
        Rule = "hard-landings",
        Athlete = new("amber"),
        Subject = "left",
        Channel = WarningChannel.Landing,
        Priority = WarningPriority.High,
        From = WarningState.Normal,
        To = WarningState.ActiveUnacknowledged,
        Cause = WarningCause.Raised,
        Time = new(1_803_913_000_000_000),
        RaisedTime = new(1_803_913_000_000_000),
        Announce = announce,
        Detail = new("2 hard landings in 5.", 2, 2, []),
    };

    private TellOptions Options => new() { NotToldFile = _folder.File("data/not-told.jsonl") };

    private static WarningTelling Telling(IWarningChannel way, TellOptions options, ILogger<WarningTelling>? log = null) =>
        new([way], options, new EventMessages(new(TestHall.Hall)), TimeProvider.System, log ?? NullLogger<WarningTelling>.Instance);

    private sealed class Noted : IWarningChannel
    {
        private readonly Channel<bool> _came = Channel.CreateUnbounded<bool>();

        public string Name => "noted";

        public ConcurrentQueue<string> Ids { get; } = new();

        public Task SendAsync(WarningNews news, CancellationToken stop)
        {
            Ids.Enqueue(news.EventId);
            _came.Writer.TryWrite(true);
            return Task.CompletedTask;
        }

        public async Task UntilAsync(int count)
        {
            for (var i = 0; i < count; i++)
            {
                await _came.Reader.ReadAsync(Stop).AsTask().WaitAsync(TimeSpan.FromSeconds(30), Stop);
            }
        }
    }

    private sealed class Lines : ILogger<WarningTelling>
    {
        private readonly Channel<bool> _came = Channel.CreateUnbounded<bool>();

        public ConcurrentQueue<string> All { get; } = new();

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            All.Enqueue(formatter(state, exception) + exception);
            _came.Writer.TryWrite(true);
        }

        public async Task UntilAsync(string text)
        {
            while (!All.Any(line => line.Contains(text, StringComparison.Ordinal)))
            {
                await _came.Reader.ReadAsync(Stop).AsTask().WaitAsync(TimeSpan.FromSeconds(30), Stop);
            }
        }
    }

    private sealed class Box : MessageStore
    {
        public TaskCompletionSource<MimeMessage> Arrived { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);

        public override async Task<SmtpResponse> SaveAsync(
            ISessionContext context, IMessageTransaction transaction, System.Buffers.ReadOnlySequence<byte> buffer, CancellationToken cancellationToken)
        {
            using var stream = new MemoryStream(System.Buffers.BuffersExtensions.ToArray(buffer));
            Arrived.TrySetResult(await MimeMessage.LoadAsync(stream, cancellationToken));
            return SmtpResponse.Ok;
        }
    }
}

using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using MQTTnet;
using MQTTnet.Protocol;
using Saltograph.Service.Tests.Faults;

namespace Saltograph.Service.Tests.Processes;

/// <summary>A stop that cannot finish in time says so in the exit code.</summary>
public sealed partial class CutDrainTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    [Fact]
    [Fault("a subscriber never acknowledges, and the service is to stop", "waits for `drainS`, says so, exit code 1", "events that this subscriber had not acknowledged", back: "with the next start")]
    public async Task The_demo_ends_with_1_when_a_subscriber_never_acknowledges_its_events()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux() || OperatingSystem.IsMacOS(), "SIGTERM is a signal of Unix");
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(Patience);
        using var process = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["demo", "--http-port", "0"])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        })!;
        var errors = process.StandardError.ReadToEndAsync(limit.Token);
        using var deaf = new MqttClientFactory().CreateMqttClient();
        var heard = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        deaf.ApplicationMessageReceivedAsync += message =>
        {
            message.AutoAcknowledge = false;
            heard.TrySetResult();
            return Task.CompletedTask;
        };
        while (await process.StandardOutput.ReadLineAsync(limit.Token) is { } line)
        {
            if (Broker().Match(line) is { Success: true } match)
            {
                var port = int.Parse(match.Groups["port"].Value, CultureInfo.InvariantCulture);
                await deaf.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId("deaf").Build(), limit.Token);
                await deaf.SubscribeAsync("saltograph/v1/demo/athletes/+/jumps", MqttQualityOfServiceLevel.AtLeastOnce, limit.Token);
                await heard.Task.WaitAsync(limit.Token);
                using var kill = Process.Start("kill", ["-TERM", process.Id.ToString(CultureInfo.InvariantCulture)]);
            }
        }

        await process.WaitForExitAsync(limit.Token);
        Assert.Equal(1, process.ExitCode);
        Assert.Contains("Stopped before everything was finished", await errors, StringComparison.Ordinal);
    }

    [GeneratedRegex(@"MQTT: 127\.0\.0\.1:(?<port>\d+)", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Broker();
}

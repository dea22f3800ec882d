using System.Diagnostics;
using System.Text.Json;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Verbs;

/// <summary>The program as an operating system sees it.</summary>
public sealed class ServeProcessTests : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly TemporaryFolder _folder = new();

    [Fact]
    public async Task A_stop_signal_drains_and_ends_with_0_and_logs_are_json_lines()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux() || OperatingSystem.IsMacOS(), "SIGTERM is a signal of Unix");
        foreach (var file in new[] { "roster.json", "thresholds.json" })
        {
            File.Copy(Path.Combine(Repository.Root, "config", file), _folder.File(file));
        }

        _folder.Write("service.json", "{ \"broker\": { \"embeddedBroker\": { \"port\": 0, \"anonymous\": true } }, \"http\": { \"port\": 0 } }");
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(Patience);
        using var process = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["serve", "--config", _folder.Root])
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
        })!;
        var ids = new List<string>();
        while (await process.StandardOutput.ReadLineAsync(limit.Token) is { } line)
        {
            var entry = JsonDocument.Parse(line).RootElement;
            ids.Add(entry.TryGetProperty("EventId", out var id) ? id.GetProperty("Name").GetString()! : entry.GetProperty("@mt").GetString()!);
            if (ids[^1] == "HallListens")
            {
                using var kill = Process.Start("kill", ["-TERM", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
            }
        }

        await process.WaitForExitAsync(limit.Token);
        Assert.Equal(0, process.ExitCode);
        Assert.Contains("Drained", ids, StringComparer.Ordinal);
    }

    public void Dispose() => _folder.Dispose();
}

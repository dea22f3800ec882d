using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Saltograph.Service.Tests.Verbs;

/// <summary>The first command of a newcomer.</summary>
public sealed partial class DemoProcessTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    [Fact]
    public async Task The_demo_shows_jumps_as_lines_and_over_http_and_ends_with_0()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux() || OperatingSystem.IsMacOS(), "SIGTERM is a signal of Unix");
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(Patience);
        using var process = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["demo", "--http-port", "0"])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true, // warnings of a busy machine
            UseShellExecute = false,
        })!;
        _ = process.StandardError.ReadToEndAsync(limit.Token);
        var address = "";
        var cautioned = false;
        var jumps = 0;
        while (await process.StandardOutput.ReadLineAsync(limit.Token) is { } line)
        {
            cautioned |= line.Contains("not a medical device", StringComparison.Ordinal);
            address = Address().Match(line) is { Success: true } match ? match.Value : address;
            if (JumpLine().IsMatch(line) && ++jumps == 3)
            {
                using var http = new HttpClient();
                var page = JsonDocument.Parse(await http.GetStringAsync(new Uri(address), limit.Token)).RootElement;
                Assert.True(page.GetProperty("jumps").GetArrayLength() >= 3);
                using var kill = Process.Start("kill", ["-TERM", process.Id.ToString(CultureInfo.InvariantCulture)]);
            }
        }

        await process.WaitForExitAsync(limit.Token);
        Assert.Equal(0, process.ExitCode);
        Assert.True(cautioned);
        Assert.True(jumps >= 3);
    }

    [GeneratedRegex(@"http://127\.0\.0\.1:\d+/api/v1/jumps\S*", RegexOptions.None, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Address();

    [GeneratedRegex(@"^\d\d:\d\d:\d\d  [a-z0-9-]+ +\d+  [a-z-]+ +0\.\d\d ", RegexOptions.None, matchTimeoutMilliseconds: 1000)]
    private static partial Regex JumpLine();
}

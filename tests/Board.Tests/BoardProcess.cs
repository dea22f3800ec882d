using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Saltograph.Board.Tests;

/// <summary>The program <c>saltograph demo</c>: real service, embedded broker, simulated hall, database of its own.</summary>
internal sealed partial class BoardProcess : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly Process _process;
    private readonly TaskCompletionSource<int> _port = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private BoardProcess(Process process) => _process = process;

    /// <summary>Where the board is.</summary>
    public Uri Address { get; private set; } = null!;

    /// <summary>Id of the process.</summary>
    public int Id => _process.Id;

    /// <summary>Starts it; ends when it answers.</summary>
    /// <param name="port">Port of the board; 0 takes a free one.</param>
    /// <param name="more">Further arguments.</param>
    public static Task<BoardProcess> StartAsync(int port = 0, params string[] more) => RunAsync(["demo", "--http-port", port.ToString(CultureInfo.InvariantCulture), .. more]);

    /// <summary>Starts the service of a configuration folder; ends when it answers.</summary>
    public static Task<BoardProcess> ServeAsync(string folder) => RunAsync(["serve", "--config", folder]);

    private static async Task<BoardProcess> RunAsync(string[] arguments)
    {
        var program = Path.Combine(AppContext.BaseDirectory, "saltograph");
        var process = Process.Start(new ProcessStartInfo(program, arguments)
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
            WorkingDirectory = Path.GetTempPath(),
        })!;
        var board = new BoardProcess(process);
        process.OutputDataReceived += (_, line) => board.Read(line.Data);
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        try
        {
            var listens = await board._port.Task.WaitAsync(Patience);
            board.Address = new Uri(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{listens}/"));
            return board;
        }
        catch (TimeoutException)
        {
            await board.DisposeAsync(); // nobody else knows of it
            throw;
        }
    }

    /// <summary>SIGTERM: finishes.</summary>
    public async Task StopAsync()
    {
        using var kill = Process.Start("kill", ["-TERM", _process.Id.ToString(CultureInfo.InvariantCulture)]);
        await _process.WaitForExitAsync().WaitAsync(Patience);
    }

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            await StopAsync();
        }

        _process.Dispose();
    }

    private void Read(string? line)
    {
        if (line is not null && BoardLine().Match(line) is { Success: true } match)
        {
            _port.TrySetResult(int.Parse(match.Groups["port"].ValueSpan, CultureInfo.InvariantCulture));
        }
    }

    [GeneratedRegex(@"^Board: http://127\.0\.0\.1:(?<port>\d+)/|""HttpPort"":(?<port>\d+)", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex BoardLine();
}

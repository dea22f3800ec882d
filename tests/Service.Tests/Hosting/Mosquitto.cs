using System.Diagnostics;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>A Mosquitto broker of the test's own on a free loopback port.</summary>
internal sealed class Mosquitto : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private readonly TemporaryFolder _folder = new();
    private readonly string _program;
    private string? _configuration;
    private Process? _process;

    private Mosquitto(string program) => _program = program;

    public int Port { get; } = FreeTcpPort.Find();

    /// <summary>Starts one, or skips the test where none is installed.</summary>
    /// <param name="configuration">What to put into its configuration; null: everybody may do everything.</param>
    public static async Task<Mosquitto> StartAsync(string? configuration = null)
    {
        var folders = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Append("/usr/sbin").Append("/usr/local/sbin");
        var program = folders.Select(folder => Path.Combine(folder, "mosquitto")).FirstOrDefault(File.Exists);
        Assert.SkipWhen(program is null, "mosquitto is not installed (Debian: apt-get install mosquitto)");
        var broker = new Mosquitto(program!) { _configuration = configuration };
        await broker.StartProcessAsync();
        return broker;
    }

    /// <summary>Starts one with the shipped configuration, its certificates and the files that <c>enrol</c> writes in a folder.</summary>
    public static Task<Mosquitto> StartShippedAsync(TemporaryFolder folder) => StartAsync(File.ReadAllText(Path.Combine(Saltograph.Testing.Repository.Root, "docker", "mosquitto.conf"))
        .Replace("listener 8883\n", "", StringComparison.Ordinal)
        .Replace("/mosquitto/tls/", folder.Root + "/", StringComparison.Ordinal)
        .Replace("/mosquitto/access/", folder.File("mosquitto") + "/", StringComparison.Ordinal)
        .Replace("/mosquitto/data/", folder.Root + "/", StringComparison.Ordinal)
        .Replace("log_dest stdout", "log_dest stderr", StringComparison.Ordinal)); // the other one comes in blocks, too late to wait for

    /// <summary>Starts it again after <see cref="StopAsync"/>, on the same port. Its sessions are lost: they were in memory only.</summary>
    public async Task StartProcessAsync()
    {
        var configuration = _folder.Write(
            "mosquitto.conf",
            $"listener {Port} 127.0.0.1\n" + (_configuration ?? "allow_anonymous true\nset_tcp_nodelay true\npersistence false\nmax_queued_messages 0\n")
            + (Environment.IsPrivilegedProcess ? "user root\n" : ""));
        _process = Process.Start(new ProcessStartInfo(_program, ["-v", "-c", configuration]) { UseShellExecute = false, RedirectStandardError = true, RedirectStandardOutput = true })!;
        var ready = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        void Read(object sender, DataReceivedEventArgs line)
        {
            if (line.Data?.Contains("running", StringComparison.Ordinal) == true)
            {
                ready.TrySetResult();
            }
        }

        _process.ErrorDataReceived += Read;
        _process.OutputDataReceived += Read;
        _process.BeginErrorReadLine();
        _process.BeginOutputReadLine();
        await ready.Task.WaitAsync(Patience, TestContext.Current.CancellationToken);
    }

    /// <summary>Ends it as its operator does: with persistence it writes down sessions and messages.</summary>
    public async Task FinishAsync()
    {
        using (var kill = Process.Start("kill", ["-TERM", _process!.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]))
        {
            await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
        _process.Dispose();
        _process = null;
    }

    /// <summary>Ends it at once, as a power cut does.</summary>
    public async Task StopAsync()
    {
        if (_process is not null)
        {
            _process.Kill();
            await _process.WaitForExitAsync(CancellationToken.None);
            _process.Dispose();
            _process = null;
        }
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        _folder.Dispose();
    }
}

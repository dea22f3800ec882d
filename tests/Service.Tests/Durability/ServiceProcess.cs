using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace Saltograph.Service.Tests.Durability;

/// <summary>The program <c>saltograph serve</c> as a process that can be killed.</summary>
internal sealed class ServiceProcess : IDisposable
{
    private readonly Process _process;
    private readonly TaskCompletionSource _listens = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private readonly TaskCompletionSource _subscribed = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private ServiceProcess(Process process) => _process = process;

    /// <summary>Lines of the log with a level: warnings and errors.</summary>
    public ConcurrentQueue<string> Complaints { get; } = new();

    public static ServiceProcess Start(string folder)
    {
        var process = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["serve", "--config", folder])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        })!;
        var service = new ServiceProcess(process);
        process.OutputDataReceived += (_, line) => service.Read(line.Data);
        process.ErrorDataReceived += (_, line) => service.Complaints.Enqueue(line.Data ?? "");
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return service;
    }

    public Task WhenListeningAsync() => _listens.Task.WaitAsync(TimeSpan.FromSeconds(60), TestContext.Current.CancellationToken);

    /// <summary>With a broker elsewhere: that broker keeps packets from now on.</summary>
    public Task WhenSubscribedAsync() => _subscribed.Task.WaitAsync(TimeSpan.FromSeconds(60), TestContext.Current.CancellationToken);

    /// <summary>SIGKILL: no handler, no last words.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>SIGTERM: finishes.</summary>
    public async Task<int> StopAsync()
    {
        using var kill = Process.Start("kill", ["-TERM", _process.Id.ToString(CultureInfo.InvariantCulture)]);
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return _process.ExitCode;
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }

    private void Read(string? line)
    {
        if (line?.EndsWith('}') != true)
        {
            return; // the end, or a line that was being written when the process was killed
        }

        var entry = JsonDocument.Parse(line).RootElement;
        if (entry.TryGetProperty("@l", out _))
        {
            Complaints.Enqueue(line);
        }

        if (entry.TryGetProperty("SessionPresent", out _))
        {
            _subscribed.TrySetResult();
        }

        if (entry.TryGetProperty("HttpPort", out _))
        {
            _listens.TrySetResult();
        }
    }
}

using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace Saltograph.Testing;

/// <summary>
/// A PostgreSQL server of the test's own: a new cluster in a temporary folder, on a free loopback port. The program
/// refuses to run as root, so root starts it as the user <c>postgres</c> that the Debian package makes.
/// </summary>
public sealed class PostgresServer : IAsyncDisposable
{
    private const string User = "saltograph";
    private readonly string _programs;
    private readonly string _folder;

    private PostgresServer(string programs, string folder) => (_programs, _folder) = (programs, folder);

    /// <summary>Port on 127.0.0.1; user and database <c>saltograph</c>, no password.</summary>
    public int Port { get; } = FreePort();

    /// <summary>Why there is none on this machine; null when one can be started.</summary>
    public static string? Missing => Programs() is null ? "PostgreSQL is not installed (Debian: apt-get install postgresql)" : null;

    /// <summary>Makes a cluster and starts it.</summary>
    public static async Task<PostgresServer> StartAsync()
    {
        var programs = Programs() ?? throw new InvalidOperationException(Missing);
        var folder = Directory.CreateTempSubdirectory("saltograph-postgres-").FullName;
        var server = new PostgresServer(programs, folder);
        if (Environment.IsPrivilegedProcess)
        {
            await RunAsync("chown", ["postgres", folder]);
        }

        await server.RunAsUserAsync("initdb", ["-D", $"{folder}/data", "-U", User, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]);
        await server.StartAgainAsync();
        await server.RunAsUserAsync("createdb", ["-h", "127.0.0.1", "-p", server.Port.ToString(CultureInfo.InvariantCulture), "-U", User, User]);
        return server;
    }

    /// <summary>Makes a further, empty database.</summary>
    public Task CreateDatabaseAsync(string name) =>
        RunAsUserAsync("createdb", ["-h", "127.0.0.1", "-p", Port.ToString(CultureInfo.InvariantCulture), "-U", User, name]);

    /// <summary>Ends it at once, as a power cut would; every connection breaks.</summary>
    public Task KillAsync() => RunAsUserAsync("pg_ctl", ["-D", $"{_folder}/data", "-m", "immediate", "-w", "stop"]);

    /// <summary>Starts it, on the same port with what it kept.</summary>
    public Task StartAgainAsync() =>
        RunAsUserAsync("pg_ctl", ["-D", $"{_folder}/data", "-l", $"{_folder}/log", "-w", "-o", $"-p {Port} -c listen_addresses=127.0.0.1 -k {_folder}", "start"]);

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await KillAsync();
        Directory.Delete(_folder, recursive: true);
    }

    private static string? Programs()
    {
        const string Debian = "/usr/lib/postgresql";
        var folders = Directory.Exists(Debian) ? Directory.GetDirectories(Debian).OrderDescending(StringComparer.Ordinal).Select(version => Path.Combine(version, "bin")) : [];
        return folders.Concat((Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator))
            .FirstOrDefault(folder => File.Exists(Path.Combine(folder, "initdb")) && File.Exists(Path.Combine(folder, "pg_ctl")));
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    private static async Task RunAsync(string program, IEnumerable<string> arguments)
    {
        // Not redirected: the server would inherit the pipes and hold them open.
        using var process = Process.Start(new ProcessStartInfo("sh", ["-c", "cd / && exec \"$@\" > /dev/null 2>&1", "sh", program, .. arguments]) { UseShellExecute = false })!;
        await process.WaitForExitAsync();
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException($"{program} ended with {process.ExitCode}");
        }
    }

    private Task RunAsUserAsync(string program, IEnumerable<string> arguments)
    {
        var path = Path.Combine(_programs, program);
        return Environment.IsPrivilegedProcess ? RunAsync("setpriv", ["--reuid=postgres", "--regid=postgres", "--clear-groups", path, .. arguments]) : RunAsync(path, arguments);
    }
}

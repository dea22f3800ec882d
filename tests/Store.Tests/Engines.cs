using Saltograph.Testing;

namespace Saltograph.Store.Tests;

/// <summary>One server for all tests of this assembly, each test with a database of its own in it.</summary>
public sealed class Engines : IAsyncLifetime
{
    private PostgresServer? _server;
    private int _databases;

    public static TheoryData<string> Kinds => [StoreOptions.Sqlite, StoreOptions.PostgreSql];

    public async ValueTask InitializeAsync() => _server = PostgresServer.Missing is null ? await PostgresServer.StartAsync() : null;

    /// <summary>An empty database; skips the test where there is no server.</summary>
    internal async Task<StoreOptions> EmptyAsync(string kind, TemporaryFolder folder)
    {
        if (kind == StoreOptions.Sqlite)
        {
            return new() { File = folder.File("hall.db") };
        }

        Assert.SkipWhen(_server is null, PostgresServer.Missing ?? "");
        var name = $"hall_{Interlocked.Increment(ref _databases)}";
        await _server!.CreateDatabaseAsync(name);
        return new() { Kind = kind, Host = "127.0.0.1", Port = _server.Port, Database = name };
    }

    public async ValueTask DisposeAsync()
    {
        if (_server is not null)
        {
            await _server.DisposeAsync();
        }
    }
}

/// <summary>A folder that is gone after the test.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public string Root { get; } = Directory.CreateTempSubdirectory("saltograph-store-").FullName;

    public string File(string name) => Path.Combine(Root, name);

    public void Dispose() => Directory.Delete(Root, recursive: true);
}

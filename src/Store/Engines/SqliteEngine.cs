using System.Data.Common;
using DbUp;
using Microsoft.Data.Sqlite;

namespace Saltograph.Store.Engines;

/// <summary>
/// The embedded database: write-ahead log (readers never wait for the writer), each transaction on the disk before it is
/// told as done (synchronous FULL).
/// </summary>
internal sealed class SqliteEngine : IStoreEngine
{
    private readonly string _file;
    private readonly string _connectionString;
    private FileStream? _lock;

    public SqliteEngine(string file)
    {
        _file = Path.GetFullPath(file);
        Directory.CreateDirectory(Path.GetDirectoryName(_file)!);
        _connectionString = new SqliteConnectionStringBuilder { DataSource = _file, DefaultTimeout = 30 }.ToString();
    }

    public void Migrate()
    {
        using (var connection = new SqliteConnection(_connectionString))
        {
            connection.Open();
            using var command = connection.CreateCommand();
            command.CommandText = "pragma journal_mode = wal;"; // kept in the file
            command.ExecuteNonQuery();
        }

        Migration.Run(DeployChanges.To.SqliteDatabase(_connectionString), "text", "blob");
    }

    public async Task<DbConnection> OpenAsync(CancellationToken stop)
    {
        var connection = new SqliteConnection(_connectionString);
        try
        {
            await connection.OpenAsync(stop);
            await using var command = connection.CreateCommand();
            command.CommandText = "pragma synchronous = full; pragma secure_delete = on; pragma temp_store = memory; pragma cache_size = -16000;";
            await command.ExecuteNonQueryAsync(stop);
            return connection;
        }
        catch
        {
            await connection.DisposeAsync();
            throw;
        }
    }

    public async Task ScrubAsync(CancellationToken stop)
    {
        // Deleted rows were overwritten (secure_delete); their old pages may still be in the write-ahead log.
        await using var connection = await OpenAsync(stop);
        await using var command = connection.CreateCommand();
        command.CommandText = "pragma wal_checkpoint(truncate);";
        await command.ExecuteNonQueryAsync(stop);
    }

    public Task LockAsync(CancellationToken stop)
    {
        // A file of its own: a lock on the database would keep readers of other programs out. The system lifts it when the process dies.
        try
        {
            _lock = new(_file + ".lock", FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (IOException problem)
        {
            throw new StoreException($"{_file} is in use by another process: {problem.Message}", problem);
        }

        return Task.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        using var pooled = new SqliteConnection(_connectionString);
        SqliteConnection.ClearPool(pooled);
        if (_lock is not null)
        {
            await _lock.DisposeAsync();
        }
    }
}

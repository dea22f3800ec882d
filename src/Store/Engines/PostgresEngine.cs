using System.Data.Common;
using DbUp;
using Npgsql;

namespace Saltograph.Store.Engines;

/// <summary>A PostgreSQL server. One process writes at a time, kept by an advisory lock of the session.</summary>
internal sealed class PostgresEngine : IStoreEngine
{
    private const long WriterLock = 0x53_41_4C_54_4F; // any number, the same in every version of this program

    private readonly NpgsqlDataSource _source;
    private readonly string _connectionString;
    private readonly string _database;
    private NpgsqlConnection? _locked;

    public PostgresEngine(StoreOptions options)
    {
        _database = options.Database;
        _connectionString = new NpgsqlConnectionStringBuilder
        {
            Host = options.Host,
            Port = options.Port,
            Database = options.Database,
            Username = options.UserName,
            Password = options.Password,
            Timeout = 10,
            KeepAlive = 30,
            ApplicationName = "saltograph",
        }.ToString();
        _source = NpgsqlDataSource.Create(_connectionString);
    }

    public void Migrate() => Migration.Run(DeployChanges.To.PostgresqlDatabase(_connectionString), "text collate \"C\"", "bytea");

    public async Task<DbConnection> OpenAsync(CancellationToken stop) => await _source.OpenConnectionAsync(stop);

    public async Task ScrubAsync(CancellationToken stop)
    {
        await using var connection = await _source.OpenConnectionAsync(stop);
        await using var command = connection.CreateCommand();
        command.CommandText = "vacuum";
        await command.ExecuteNonQueryAsync(stop);
    }

    public async Task LockAsync(CancellationToken stop)
    {
        _locked = await _source.OpenConnectionAsync(stop);
        await using var command = _locked.CreateCommand();
        command.CommandText = "select pg_try_advisory_lock($1)";
        command.Parameters.Add(new() { Value = WriterLock });
        if (await command.ExecuteScalarAsync(stop) is not true)
        {
            throw new StoreException($"The database {_database} is in use by another process of this program.");
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_locked is not null)
        {
            await _locked.DisposeAsync();
        }

        await _source.DisposeAsync();
    }
}

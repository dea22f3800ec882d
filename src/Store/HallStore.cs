using System.Data.Common;
using Saltograph.Store.Engines;
using Saltograph.Store.Queries;

namespace Saltograph.Store;

/// <summary>
/// What was measured and what staff entered, on one of two engines that answer alike. Any number of readers, one writing
/// transaction at a time in the one process that holds the store.
/// </summary>
public sealed class HallStore : IAsyncDisposable
{
    private readonly IStoreEngine _engine;
    private readonly SemaphoreSlim _writing = new(1);
    private long _lastNumber;
    private long _lastAudit;

    private HallStore(IStoreEngine engine)
    {
        _engine = engine;
        Whole = new(engine, Sight.Everything);
        People = new(engine);
        Outbox = new(engine);
    }

    /// <summary>Everything, for the service's own work; answers to somebody come from <see cref="Seen"/>.</summary>
    public HallView Whole { get; }

    /// <summary>Who may sign in, consents, and the audit trail.</summary>
    public PeopleQueries People { get; }

    /// <summary>Jumps and landings, of everybody; likewise the others.</summary>
    public JumpQueries Jumps => Whole.Jumps;

    /// <summary>Sums per day.</summary>
    public LoadQueries Load => Whole.Load;

    /// <summary>Athletes, trainings and recordings.</summary>
    public SessionQueries Sessions => Whole.Sessions;

    /// <summary>Plans and limits.</summary>
    public PlanQueries Plans => Whole.Plans;

    /// <summary>Warnings and their history.</summary>
    public WarningQueries Warnings => Whole.Warnings;

    /// <summary>What was told about sensors.</summary>
    public SensorEventQueries Sensors => Whole.Sensors;

    /// <summary>Events to be confirmed.</summary>
    public OutboxQueries Outbox { get; }

    /// <summary>The store as somebody may see it.</summary>
    public HallView Seen(Sight sight)
    {
        ArgumentNullException.ThrowIfNull(sight);
        return new(_engine, sight);
    }

    /// <summary>Opens a store; makes it or brings its schema to this version.</summary>
    /// <exception cref="StoreException">It is held by another process, or its schema cannot be made.</exception>
    public static async Task<HallStore> OpenAsync(StoreOptions options, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(options);
        Mapping.Begin();
        IStoreEngine engine = options.Kind switch
        {
            StoreOptions.Sqlite => new SqliteEngine(options.File),
            StoreOptions.PostgreSql => new PostgresEngine(options),
            _ => throw new ArgumentException($"Kind: found '{options.Kind}'; allowed: {StoreOptions.Sqlite} or {StoreOptions.PostgreSql}.", nameof(options)),
        };
        var store = new HallStore(engine);
        try
        {
            await engine.LockAsync(stop);
            await Task.Run(engine.Migrate, stop);
            store._lastNumber = await store.Outbox.LastNumberAsync(stop);
            store._lastAudit = await store.People.LastAuditAsync(stop);
            return store;
        }
        catch
        {
            await store.DisposeAsync();
            throw;
        }
    }

    /// <summary>Runs one writing transaction; all of it is on the disk afterwards, or nothing when it throws.</summary>
    /// <param name="work">What to write. Must use only the transaction it is given.</param>
    /// <param name="stop">Gives up waiting; not in the middle of the work.</param>
    public async Task<T> WriteAsync<T>(Func<StoreTransaction, Task<T>> work, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(work);
        await _writing.WaitAsync(stop);
        try
        {
            await using var connection = await _engine.OpenAsync(stop);
            await using var transaction = await connection.BeginTransactionAsync(CancellationToken.None);
            var writing = new StoreTransaction(connection, transaction, _lastNumber, _lastAudit);
            var result = await work(writing);
            if (writing.IsAbandoned)
            {
                await transaction.RollbackAsync(CancellationToken.None);
                return result;
            }

            // Beforehand: should the commit succeed and only its answer be lost, a number must not be given twice.
            _lastNumber = writing.LastNumber;
            _lastAudit = writing.LastAudit;
            await transaction.CommitAsync(CancellationToken.None);
            return result;
        }
        finally
        {
            _writing.Release();
        }
    }

    /// <summary>Runs one writing transaction without a result.</summary>
    public Task WriteAsync(Func<StoreTransaction, Task> work, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(work);
        return WriteAsync<object?>(
            async transaction =>
            {
                await work(transaction);
                return null;
            },
            stop);
    }

    /// <summary>What was deleted is gone from the database's files too, as far as no reader still needs it.</summary>
    public Task ScrubAsync(CancellationToken stop = default) => _engine.ScrubAsync(stop);

    /// <summary>Whether the database answers.</summary>
    public async Task<bool> AnswersAsync(CancellationToken stop = default)
    {
        try
        {
            await using var connection = await _engine.OpenAsync(stop);
            await using var command = connection.CreateCommand();
            command.CommandText = "select 1";
            return await command.ExecuteScalarAsync(stop) is not null;
        }
        catch (DbException)
        {
            return false;
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _engine.DisposeAsync();
        _writing.Dispose();
    }
}

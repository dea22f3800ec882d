using System.Reactive.Concurrency;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Warnings;

namespace Saltograph.Service.Hosting;

/// <summary>Starts the measuring with the host, and finishes it before anything else of the host stops.</summary>
internal sealed class HallService(
    HallConfiguration configuration,
    IPacketSource source,
    IMessageOut broker,
    AthleteStreams athletes,
    SessionArchive archive,
    FactJournal journal,
    OutboxSender outbox,
    FactDispatch sinks,
    History history,
    WarningDesk warnings,
    People.PeopleBook people,
    DrainOutcome outcome,
    ILogger<HallService> log) : IHostedLifecycleService
{
    /// <inheritdoc/>
    public async Task StartingAsync(CancellationToken cancellationToken)
    {
        await WarmUp.RunAsync(cancellationToken);
        await people.RecallAsync(cancellationToken);
        await history.RecallAsync(cancellationToken);
        await warnings.RecallAsync(cancellationToken);
        outbox.Start();
        athletes.Start(source.Packets, Scheduler.Default, await archive.FindUnfinishedAsync(cancellationToken));
        (source as ExternalBroker)?.Start();
        log.HallStarted(
            configuration.Service.Hall,
            configuration.Roster.Sensors.Select(entry => entry.Athlete).Distinct(StringComparer.Ordinal).Count(),
            configuration.Roster.Sensors.Count);
    }

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <inheritdoc/>
    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <inheritdoc/>
    public async Task StoppingAsync(CancellationToken cancellationToken)
    {
        // Before any other part stops: the last events still need the broker's connections.
        log.Draining();
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        limit.CancelAfter(TimeSpan.FromSeconds(configuration.Service.Limits.DrainS));
        try
        {
            await source.StopIntakeAsync();
            await athletes.CompleteAsync(limit.Token);
            await journal.CompleteAsync(limit.Token);
            await sinks.CompleteAsync(limit.Token);
            await warnings.CompleteAsync(limit.Token);
            await outbox.CompleteAsync(limit.Token);
            await broker.DrainAsync(limit.Token);
            await outbox.ForgetConfirmedAsync(limit.Token);
            log.Drained();
        }
        catch (OperationCanceledException)
        {
            outcome.WasCut = true;
            log.DrainCut(configuration.Service.Limits.DrainS);
        }

        await source.CloseAsync();
    }

    /// <inheritdoc/>
    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <inheritdoc/>
    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}

using Microsoft.Extensions.Hosting;

namespace Saltograph.Board.Live;

/// <summary>Ten ticks per second, for as many screens as there are.</summary>
internal sealed class FloorClock(LiveFloor floor, TimeProvider time) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromMilliseconds(100);

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval, time);
        try
        {
            while (await timer.WaitForNextTickAsync(stoppingToken))
            {
                floor.Tick();
            }
        }
        catch (OperationCanceledException)
        {
            // The service stops.
        }
    }
}

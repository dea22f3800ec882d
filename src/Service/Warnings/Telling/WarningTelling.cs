using System.Text.Json;
using System.Threading.Channels;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Warnings.Telling;

/// <summary>
/// Gives warnings that are to be announced to every way out, each behind a queue of its own. What does not work is tried again with growing waits; what
/// never works, or finds the queue full, goes to a file. Of a flood one is told.
/// </summary>
/// <remarks>What waits here is lost with the process; it is in the store, and the topic of the warnings tells it at least once.</remarks>
internal sealed class WarningTelling : BackgroundService, IWarningListener
{
    private const int Waiting = 1000;
    private static readonly TimeSpan LongestWait = TimeSpan.FromMinutes(5);

    private readonly TellOptions _options;
    private readonly EventMessages _messages;
    private readonly TimeProvider _time;
    private readonly ILogger<WarningTelling> _log;
    private readonly WarningPriority _lowest;
    private readonly (IWarningChannel Way, Channel<WarningNews> Queue)[] _ways;
    private readonly Lock _file = new();
    private string? _flood;

    /// <summary>Prepares.</summary>
    public WarningTelling(IEnumerable<IWarningChannel> ways, TellOptions options, EventMessages messages, TimeProvider time, ILogger<WarningTelling> log)
    {
        (_options, _messages, _time, _log) = (options, messages, time, log);
        _lowest = Enum.Parse<WarningPriority>(options.LowestPriority, ignoreCase: true);
        _ways = [.. ways.Select(way => (way, Channel.CreateBounded<WarningNews>(new BoundedChannelOptions(Waiting) { SingleReader = true })))];
    }

    /// <inheritdoc/>
    public void Changed(WarningChange change)
    {
        if (_ways.Length == 0 || !change.Announce || change.Priority < _lowest || (change.FloodGroup is not null && change.FloodGroup == _flood))
        {
            return;
        }

        _flood = change.FloodGroup ?? _flood;
        var fact = new WarningChanged(change.Athlete, change);
        var news = new WarningNews(change, fact.EventId, _messages.Of(fact)!.Payload);
        foreach (var (way, queue) in _ways)
        {
            if (!queue.Writer.TryWrite(news))
            {
                GiveUp(way, news, "too many wait already");
            }
        }
    }

    /// <inheritdoc/>
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.WhenAll(_ways.Select(way => RunAsync(way.Way, way.Queue.Reader, stoppingToken)));

    private async Task RunAsync(IWarningChannel way, ChannelReader<WarningNews> queue, CancellationToken stop)
    {
        await foreach (var news in queue.ReadAllAsync(stop))
        {
            var backoff = new Backoff(TimeSpan.FromSeconds(_options.FirstWaitS), LongestWait, Random.Shared);
            for (var attempt = 1; ; attempt++)
            {
                try
                {
                    await way.SendAsync(news, stop);
                    break;
                }
                catch (OperationCanceledException) when (stop.IsCancellationRequested)
                {
                    throw;
                }
#pragma warning disable CA1031 // sockets, TLS, protocols and servers fail in many types; each means "not told"
                catch (Exception problem)
#pragma warning restore CA1031
                {
                    // The type only: a message may hold an address or a secret.
                    var reason = problem is TellingRefusedException refused ? refused.Message : problem.GetType().Name;
                    _log.TellingFailed(way.Name, news.EventId, attempt, reason);
                    if (attempt >= _options.Attempts)
                    {
                        GiveUp(way, news, reason);
                        break;
                    }
                }

                await Task.Delay(backoff.Next(), _time, stop);
            }
        }
    }

    private void GiveUp(IWarningChannel way, WarningNews news, string reason)
    {
        _log.NotTold(way.Name, news.EventId, _options.NotToldFile);
        var line = JsonSerializer.Serialize(new { way = way.Name, at = _time.GetUtcNow(), reason, cloudEvent = JsonDocument.Parse(news.Event).RootElement });
        try
        {
            lock (_file)
            {
                Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(_options.NotToldFile))!);
                File.AppendAllText(_options.NotToldFile, line + "\n");
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            _log.NotToldFileFailed(problem, _options.NotToldFile);
        }
    }
}

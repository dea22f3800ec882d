using System.Collections.Concurrent;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Privacy;
using Saltograph.Store;
using Saltograph.Store.Recordings;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Durability;

/// <summary>Keeps sessions as recordings: their rows in the store, their packets in files.</summary>
internal sealed class SessionArchive(
    HallConfiguration configuration,
    Roster roster,
    HallStore store,
    IRecordingDisk disk,
    DayLedger ledger,
    AthleteKeys keys,
    DurabilityState state,
    TimeProvider time,
    ILogger<SessionArchive> log) : ISessionArchive
{
    /// <summary>Version of the program, as recordings name it.</summary>
    public static readonly string Program = typeof(SessionArchive).Assembly.GetName().Version!.ToString(3);

    private static readonly JsonSerializerOptions Web = new(JsonSerializerDefaults.Web);

    private readonly string _settings = JsonSerializer.Serialize(configuration.Thresholds, Web);
    private readonly RecordingOptions _options = configuration.Service.Recordings.ToOptions();
    private readonly ConcurrentDictionary<AthleteId, List<RecordingRow>> _unfinished = new();
    private readonly ConcurrentDictionary<string, byte[]?> _unfinishedKeys = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<KeptSession, byte> _kept = new();

    /// <summary>Options of the measuring, as a recording keeps them.</summary>
    public static PipelineOptions Settings(string text) => JsonSerializer.Deserialize<ThresholdOptions>(text, Web)!.Pipeline;

    /// <summary>Sites by sensor, as a recording keeps them.</summary>
    public static Dictionary<SensorId, Site> Sensors(RecordingHeader header) => header.Sensors.ToDictionary(
        pair => new SensorId(pair.Key),
        pair => Sites.TryParse(pair.Value, out var site) ? site : throw new FormatException($"Site '{pair.Value}' is none."));

    /// <summary>Looks up what a process before has left.</summary>
    /// <returns>Whose sessions are unfinished.</returns>
    public async Task<IReadOnlyCollection<AthleteId>> FindUnfinishedAsync(CancellationToken stop)
    {
        foreach (var row in await store.Sessions.OpenRecordingsAsync(stop))
        {
            _unfinished.GetOrAdd(new(row.Athlete), _ => []).Add(row);
            _unfinishedKeys[row.Athlete] = await keys.FindAsync(row.Athlete, stop);
        }

        return [.. _unfinished.Keys];
    }

    /// <inheritdoc/>
    public IReadOnlyList<IUnfinishedSession> TakeUnfinished(AthleteId athlete) =>
        _unfinished.TryRemove(athlete, out var rows) ? [.. rows.Select((row, index) => new Unfinished(this, row, isLast: index == rows.Count - 1))] : [];

    /// <inheritdoc/>
    public async Task<IKeptSession> BeginAsync(AthleteId athlete, SampleTime first, CancellationToken stop)
    {
        var header = HeaderOf(athlete, first.Microseconds);
        await Persistently.DoAsync("store", () => OpenAsync(header, stop), state, time, stop);
        var key = header.IsSealed ? await Persistently.DoAsync("store", () => keys.FindOrMakeAsync(athlete.Value, stop), state, time, stop) : null;
        return Kept(RecordingWriter.Begin(disk, _options, header, key));
    }

    /// <summary>What was kept so far survives a power cut afterwards.</summary>
    public void Flush()
    {
        foreach (var kept in _kept.Keys)
        {
            kept.Flush();
        }
    }

    private KeptSession Kept(RecordingWriter writer)
    {
        var kept = new KeptSession(writer, state, time, ended => _kept.TryRemove(ended, out _));
        _kept.TryAdd(kept, 0);
        return kept;
    }

    private async Task<bool> OpenAsync(RecordingHeader header, CancellationToken stop)
    {
        await store.WriteAsync(transaction => OpenAsync(transaction, header), stop);
        return true;
    }

    /// <summary>Opens a recording, and a training unless staff have one open.</summary>
    public static async Task OpenAsync(StoreTransaction transaction, RecordingHeader header)
    {
        await transaction.AddAthleteAsync(header.Athlete, header.OpenedUs);
        await transaction.OpenRecordingAsync(new() { Id = header.Id, Athlete = header.Athlete, OpenedUs = header.OpenedUs });
        if (await transaction.SessionAtAsync(header.Athlete, header.OpenedUs) is null)
        {
            await transaction.OpenSessionAsync(new() { Id = header.Id, Athlete = header.Athlete, OpenedUs = header.OpenedUs, OpenedBy = SessionRow.Activity });
        }
    }

    private RecordingHeader HeaderOf(AthleteId athlete, long openedUs) => new()
    {
        Athlete = athlete.Value,
        OpenedUs = openedUs,
        Hall = configuration.Service.Hall,
        Sensors = roster.SensorsOf(athlete).ToDictionary(pair => pair.Key.Value, pair => pair.Value.Name(), StringComparer.Ordinal),
        Settings = _settings,
        Program = Program,
        IsSealed = configuration.Service.Recordings.Sealed,
    };

    /// <summary>A recording without an end.</summary>
    private sealed class Unfinished(SessionArchive archive, RecordingRow row, bool isLast) : IUnfinishedSession
    {
        private readonly RecordingFiles _files = archive.Find(row);
        private long _lastUs = row.OpenedUs;

        public string Id => row.Id;

        public IEnumerable<IncomingPacket> Packets()
        {
            foreach (var packet in _files.Packets())
            {
                _lastUs = packet.ReceivedUs;
                yield return new(new(packet.Sensor), packet.Bytes, new(packet.ReceivedUs));
            }

            foreach (var torn in _files.Torn)
            {
                archive.LogTorn(torn);
            }
        }

        public IAthleteMeasuring? Begin() => _files.Header is null || IsMeasuredAsNow()
            ? null
            : new AthleteMeasuring(new(row.Athlete), Sensors(_files.Header), Settings(_files.Header.Settings), archive.Ledger);

        public IKeptSession? GoOn()
        {
            var sinceS = archive.SinceS(_lastUs);
            return isLast && IsMeasuredAsNow() && sinceS < archive.SessionGapS
                ? archive.Kept(RecordingWriter.Continue(archive.Disk, archive._options, _files.Header!, _files))
                : null;
        }

        private bool IsMeasuredAsNow() => _files.Header is { } header
            && archive.Knows(new(row.Athlete))
            && header.IsMeasuredLike(archive.HeaderOf(new(row.Athlete), row.OpenedUs));
    }

    // Whose key is gone has no packets that could be measured again.
    private RecordingFiles Find(RecordingRow row)
    {
        var files = RecordingFiles.Find(_options.Folder, row.Athlete, row.OpenedUs);
        files.Key = _unfinishedKeys.GetValueOrDefault(row.Athlete);
        return files is { Header.IsSealed: true, Key: null } ? RecordingFiles.Find(Path.Combine(_options.Folder, "none"), row.Athlete, row.OpenedUs) : files;
    }

    private DayLedger Ledger => ledger;

    private IRecordingDisk Disk => disk;

    private double SessionGapS => configuration.Service.Limits.SessionGapS;

    private double SinceS(long us) => HallClock.Now(time) - new SampleTime(us);

    private bool Knows(AthleteId athlete) => roster.Athletes.Contains(athlete);

    private void LogTorn(TornTail torn) => log.TornTail(torn.File, torn.GoodBytes, torn.TornBytes);
}

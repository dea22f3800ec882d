using System.Globalization;

namespace Saltograph.Store.Recordings;

/// <summary>The files of one recording: <c>athlete/openedUs-part.cborseq</c>, parts from 1.</summary>
public sealed class RecordingFiles
{
    private readonly List<TornTail> _torn = [];

    private RecordingFiles(IReadOnlyList<string> files, RecordingHeader? header) => (Files, Header) = (files, header);

    /// <summary>The files in order; none when there are none.</summary>
    public IReadOnlyList<string> Files { get; }

    /// <summary>The header; null when not even that is whole.</summary>
    public RecordingHeader? Header { get; }

    /// <summary>Key of the athlete, for sealed recordings; null for none.</summary>
    public byte[]? Key { get; set; }

    /// <summary>What was found torn while reading.</summary>
    public IReadOnlyList<TornTail> Torn => _torn;

    /// <summary>The files of a recording.</summary>
    /// <param name="folder">Folder of all recordings.</param>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="openedUs">Arrival of its first packet.</param>
    public static RecordingFiles Find(string folder, string athlete, long openedUs)
    {
        var own = Path.Combine(folder, athlete);
        var pattern = string.Create(CultureInfo.InvariantCulture, $"{openedUs}-*{RecordingFormat.Extension}");
        var files = Directory.Exists(own) ? Directory.GetFiles(own, pattern).OrderBy(PartOf).ToList() : [];
        return new(files, HeaderOf(files));
    }

    /// <summary>The recording that a path means: any of its files.</summary>
    /// <returns>Null when the path is no file of a recording.</returns>
    public static RecordingFiles? OfFile(string path)
    {
        if (HeaderOf([path]) is not { } header)
        {
            return null;
        }

        var folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
        var siblings = Directory.GetFiles(folder, string.Create(CultureInfo.InvariantCulture, $"{header.OpenedUs}-*{RecordingFormat.Extension}"))
            .OrderBy(PartOf).ToList();
        return new(siblings.Count > 0 ? siblings : [path], header);
    }

    /// <summary>All recordings of a folder, oldest first.</summary>
    public static IReadOnlyList<RecordingFiles> All(string folder) => !Directory.Exists(folder)
        ? []
        : [.. Directory.GetFiles(folder, "*-1" + RecordingFormat.Extension, SearchOption.AllDirectories)
            .Select(OfFile).OfType<RecordingFiles>().OrderBy(recording => recording.Header!.OpenedUs).ThenBy(recording => recording.Header!.Athlete, StringComparer.Ordinal)];

    /// <summary>Deletes files that were last written before a time, and folders that are empty then.</summary>
    /// <param name="folder">Folder of all recordings.</param>
    /// <param name="before">The time.</param>
    /// <param name="keep">Recordings that are still needed: athlete and arrival of the first packet.</param>
    /// <returns>What was deleted.</returns>
    public static IReadOnlyList<string> DeleteOld(string folder, DateTimeOffset before, IReadOnlySet<(string Athlete, long OpenedUs)> keep)
    {
        ArgumentNullException.ThrowIfNull(keep);
        var deleted = new List<string>();
        foreach (var own in Directory.Exists(folder) ? Directory.GetDirectories(folder) : [])
        {
            foreach (var file in Directory.GetFiles(own, "*" + RecordingFormat.Extension))
            {
                var isKept = long.TryParse(Path.GetFileName(file).Split('-')[0], NumberStyles.None, CultureInfo.InvariantCulture, out var openedUs)
                    && keep.Contains((Path.GetFileName(own), openedUs));
                if (!isKept && File.GetLastWriteTimeUtc(file) < before.UtcDateTime)
                {
                    File.Delete(file);
                    deleted.Add(file);
                }
            }
        }

        return deleted;
    }

    /// <summary>The packets in the order of their arrival. A torn end is left out and noted.</summary>
    /// <exception cref="StoreException">The packets are sealed, and the key is missing or another one.</exception>
    public IEnumerable<RecordedPacket> Packets()
    {
        _torn.Clear();
        using var seal = Header?.IsSealed != true ? null
            : Key is null ? throw new StoreException($"{Header.Id}: sealed with a key of the athlete that is not here; it was erased, or the store that has it was not named.")
            : new RecordingSeal(Key, Header.Id);
        foreach (var file in Files)
        {
            ReadOnlyMemory<byte> bytes = File.ReadAllBytes(file);
            var at = RecordingFormat.TryReadHeader(bytes, out var headerLength) is null ? 0 : headerLength;
            while (at > 0 && at < bytes.Length)
            {
                var length = RecordingFormat.TryReadPacket(bytes[at..], out var packet);
                if (length == 0)
                {
                    break;
                }

                at += length;
                yield return seal is null ? packet : packet with
                {
                    Bytes = seal.Open(packet.ReceivedUs, packet.Sensor, packet.Bytes.Span)
                        ?? throw new StoreException($"{file}, byte {at - length}: found a packet that this athlete's key does not open; allowed: those sealed with it, unchanged."),
                };
            }

            if (at < bytes.Length)
            {
                _torn.Add(new(file, at, bytes.Length - at));
            }
        }
    }

    /// <summary>The recording without its seal, piece by piece: header, then packets.</summary>
    public IEnumerable<byte[]> Unsealed()
    {
        if (Header is null)
        {
            yield break;
        }

        yield return RecordingFormat.WriteHeader(Header with { IsSealed = false }, 1);
        foreach (var packet in Packets())
        {
            var writer = new System.Formats.Cbor.CborWriter();
            RecordingFormat.WritePacket(writer, packet.ReceivedUs, packet.Sensor, packet.Bytes.Span);
            yield return writer.Encode();
        }
    }

    internal static int PartOf(string file) =>
        int.TryParse(Path.GetFileNameWithoutExtension(file).Split('-')[^1], NumberStyles.None, CultureInfo.InvariantCulture, out var part) ? part : 0;

    internal static string PathOf(string folder, RecordingHeader header, int part) => Path.Combine(
        folder, header.Athlete, string.Create(CultureInfo.InvariantCulture, $"{header.OpenedUs}-{part}{RecordingFormat.Extension}"));

    private static RecordingHeader? HeaderOf(IReadOnlyList<string> files)
    {
        foreach (var file in files)
        {
            using var stream = File.OpenRead(file);
            var beginning = new byte[Math.Min(stream.Length, 1 << 20)];
            stream.ReadExactly(beginning);
            if (RecordingFormat.TryReadHeader(beginning, out _) is { } header)
            {
                return header;
            }
        }

        return null;
    }
}

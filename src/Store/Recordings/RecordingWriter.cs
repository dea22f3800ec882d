using System.Formats.Cbor;
using Microsoft.Win32.SafeHandles;

namespace Saltograph.Store.Recordings;

/// <summary>
/// Appends packets to the files of one recording. Packets are gathered in memory and written together; what could not be
/// written stays in memory and is written again at the same place. Not for several threads at once.
/// </summary>
public sealed class RecordingWriter : IDisposable
{
    private readonly IRecordingDisk _disk;
    private readonly RecordingOptions _options;
    private readonly CborWriter _gathered = new(CborConformanceMode.Lax, allowMultipleRootLevelValues: true);
    private readonly RecordingSeal? _seal;
    private byte[] _buffer = [];
    private SafeFileHandle? _handle;
    private int _part;
    private long _length;
    private bool _isFlushed = true;

    private RecordingWriter(IRecordingDisk disk, RecordingOptions options, RecordingHeader header, byte[]? key)
    {
        (_disk, _options, Header) = (disk, options, header);
        _seal = !header.IsSealed ? null : key is null ? throw new ArgumentNullException(nameof(key), "A sealed recording needs the athlete's key.") : new(key, header.Id);
    }

    /// <summary>What is recorded.</summary>
    public RecordingHeader Header { get; }

    /// <summary>Begins a recording; its first file is made with the first packets.</summary>
    /// <param name="disk">The disk.</param>
    /// <param name="options">Where and how.</param>
    /// <param name="header">What is recorded.</param>
    /// <param name="key">Key of the athlete, when the header says sealed.</param>
    public static RecordingWriter Begin(IRecordingDisk disk, RecordingOptions options, RecordingHeader header, byte[]? key = null) => new(disk, options, header, key) { _part = 1 };

    /// <summary>Goes on behind the last whole packet of a recording; what is torn behind it is cut off first.</summary>
    /// <param name="disk">The disk.</param>
    /// <param name="options">Where and how.</param>
    /// <param name="header">What is recorded.</param>
    /// <param name="files">Its files, read to their end before, with the key of the athlete when they are sealed.</param>
    public static RecordingWriter Continue(IRecordingDisk disk, RecordingOptions options, RecordingHeader header, RecordingFiles files)
    {
        ArgumentNullException.ThrowIfNull(files);
        if (files.Files.Count == 0)
        {
            return Begin(disk, options, header, files.Key);
        }

        var last = files.Files[^1];
        var torn = files.Torn.FirstOrDefault(tail => tail.File == last);
        if (torn is not null)
        {
            using var cut = File.OpenHandle(last, FileMode.Open, FileAccess.Write);
            RandomAccess.SetLength(cut, torn.GoodBytes);
            RandomAccess.FlushToDisk(cut);
        }

        return new(disk, options, header, files.Key) { _part = RecordingFiles.PartOf(last), _length = new FileInfo(last).Length };
    }

    /// <summary>Gathers a packet.</summary>
    /// <param name="receivedUs">When it arrived, us since 1970.</param>
    /// <param name="sensor">Whose it is.</param>
    /// <param name="packet">The packet; copied.</param>
    public void Add(long receivedUs, string sensor, ReadOnlySpan<byte> packet) => RecordingFormat.WritePacket(_gathered, receivedUs, sensor, _seal is null ? packet : _seal.Seal(receivedUs, sensor, packet));

    /// <summary>Writes what was gathered. When it throws, nothing is lost: call it again later.</summary>
    /// <exception cref="IOException">The disk is full or broken.</exception>
    public void Write()
    {
        if (_gathered.BytesWritten == 0)
        {
            return;
        }

        if (_length >= _options.LargestFileBytes)
        {
            Flush();
            _handle?.Dispose();
            _handle = null;
            _length = 0;
            _part++;
        }

        if (_handle is null)
        {
            var file = RecordingFiles.PathOf(_options.Folder, Header, _part);
            Directory.CreateDirectory(Path.GetDirectoryName(file)!);
            _handle = _disk.Open(file);
        }

        // Header and first packets in one piece: a file is empty or has both.
        var header = _length == 0 ? RecordingFormat.WriteHeader(Header, _part) : [];
        var length = header.Length + _gathered.BytesWritten;
        if (_buffer.Length < length)
        {
            _buffer = new byte[Math.Max(length, 2 * _buffer.Length)];
        }

        header.CopyTo(_buffer, 0);
        _gathered.Encode(_buffer.AsSpan(header.Length));
        _disk.Write(_handle, _buffer.AsSpan(0, length), _length, _options.FlushToDisk);
        _length += length;
        _isFlushed = _options.FlushToDisk;
        _gathered.Reset();
    }

    /// <summary>What was written survives a power cut afterwards.</summary>
    /// <exception cref="IOException">The disk is full or broken; call it again later.</exception>
    public void Flush()
    {
        if (!_isFlushed && _handle is not null)
        {
            _disk.Flush(_handle);
            _isFlushed = true;
        }
    }

    /// <summary>Closes the file. What was gathered and not written is not in it.</summary>
    public void Dispose()
    {
        _handle?.Dispose();
        _seal?.Dispose();
    }
}

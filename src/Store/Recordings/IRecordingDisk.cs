using Microsoft.Win32.SafeHandles;

namespace Saltograph.Store.Recordings;

/// <summary>How bytes get to the disk.</summary>
public interface IRecordingDisk
{
    /// <summary>Opens a file for writing; makes it when it is not there.</summary>
    /// <exception cref="IOException">It cannot be made.</exception>
    SafeFileHandle Open(string file);

    /// <summary>Writes bytes at a place; with <paramref name="flush"/> they survive a power cut afterwards.</summary>
    /// <exception cref="IOException">The disk is full or broken; any part may have been written.</exception>
    void Write(SafeFileHandle handle, ReadOnlySpan<byte> bytes, long at, bool flush);

    /// <summary>What was written survives a power cut afterwards.</summary>
    /// <exception cref="IOException">The disk is full or broken.</exception>
    void Flush(SafeFileHandle handle);
}

/// <summary>The disk of this machine.</summary>
public sealed class RecordingDisk : IRecordingDisk
{
    /// <inheritdoc/>
    public SafeFileHandle Open(string file) => File.OpenHandle(file, FileMode.OpenOrCreate, FileAccess.Write, FileShare.Read);

    /// <inheritdoc/>
    public void Write(SafeFileHandle handle, ReadOnlySpan<byte> bytes, long at, bool flush)
    {
        RandomAccess.Write(handle, bytes, at);
        if (flush)
        {
            Flush(handle);
        }
    }

    /// <inheritdoc/>
    public void Flush(SafeFileHandle handle) => RandomAccess.FlushToDisk(handle);
}

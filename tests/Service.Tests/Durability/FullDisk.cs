using Microsoft.Win32.SafeHandles;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Tests.Durability;

/// <summary>A disk that can be full.</summary>
internal sealed class FullDisk : IRecordingDisk, IDisposable
{
    private readonly RecordingDisk _disk = new();
    private readonly SemaphoreSlim _refused = new(0);
    private volatile bool _isFull;

    public bool IsFull
    {
        set => _isFull = value;
    }

    public async Task RefusedAsync(int times)
    {
        for (var i = 0; i < times; i++)
        {
            await _refused.WaitAsync(TestContext.Current.CancellationToken);
        }
    }

    public void Dispose() => _refused.Dispose();

    public SafeFileHandle Open(string file) => _disk.Open(file);

    public void Flush(SafeFileHandle handle) => _disk.Flush(handle);

    public void Write(SafeFileHandle handle, ReadOnlySpan<byte> bytes, long at, bool flush)
    {
        if (_isFull)
        {
            _refused.Release();
            throw new IOException("No space left on device");
        }

        _disk.Write(handle, bytes, at, flush);
    }
}

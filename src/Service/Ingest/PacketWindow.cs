using System.Threading.Channels;

namespace Saltograph.Service.Ingest;

/// <summary>How many packets of one connection may be in work at one time; further ones wait in the order in which they came.</summary>
/// <param name="size">Most packets in work.</param>
internal sealed class PacketWindow(int size)
{
    // Each packet in work is a token in a queue that holds no more of them.
    private readonly Channel<bool> _inWork = Channel.CreateBounded<bool>(new BoundedChannelOptions(size) { SingleWriter = true });

    /// <summary>Waits for room, called by one at a time; false when the connection ended first.</summary>
    public async ValueTask<bool> EnterAsync()
    {
        while (!_inWork.Writer.TryWrite(true))
        {
            if (!await _inWork.Writer.WaitToWriteAsync())
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Makes room when it has been decided on the packet.</summary>
    public async Task LeaveWithAsync(IncomingPacket packet)
    {
        await packet.Fate;
        _inWork.Reader.TryRead(out _);
    }

    /// <summary>The connection ended.</summary>
    public void Close() => _inWork.Writer.TryComplete();
}

using Saltograph.Imu;

namespace Saltograph.Pipeline.Streams;

/// <summary>
/// The last seconds of the trunk's samples by hall time, so that the sample which anchors a fact can be named by the
/// sensor's own clock: that name is the same for every replay, the hall time is not.
/// </summary>
internal sealed class AnchorTimes
{
    // Facts are about at most some seconds back: a flight, its recovery and a bridged gap.
    private const double KeptS = 10;
    private const int FirstCapacity = 4096;

    private (SampleTime Hall, long DeviceUs, BootId Boot)[] _ring = new (SampleTime, long, BootId)[FirstCapacity];
    private int _start;
    private int _count;

    public void Add(in QueuedSample queued)
    {
        var hall = queued.Sample.Time;
        while (_count > 0 && hall - _ring[_start].Hall > KeptS)
        {
            _start = (_start + 1) & (_ring.Length - 1);
            _count--;
        }

        if (_count == _ring.Length)
        {
            var larger = new (SampleTime, long, BootId)[2 * _ring.Length];
            CopyTo(larger);
            _ring = larger;
            _start = 0;
        }

        _ring[(_start + _count) & (_ring.Length - 1)] = (hall, queued.DeviceUs, queued.Boot);
        _count++;
    }

    public void Clear() => _count = 0;

    /// <summary>The received sample at a hall time, or the last before it when the time lies in a bridged gap.</summary>
    public (long DeviceUs, BootId Boot) At(SampleTime hall)
    {
        var low = 0;
        var high = _count - 1;
        while (low < high)
        {
            var middle = (low + high + 1) / 2;
            if (At(middle).Hall <= hall)
            {
                low = middle;
            }
            else
            {
                high = middle - 1;
            }
        }

        var found = At(low);
        return (found.DeviceUs, found.Boot);
    }

    public void CopyFrom(AnchorTimes other)
    {
        if (_ring.Length < other._ring.Length)
        {
            _ring = new (SampleTime, long, BootId)[other._ring.Length];
        }

        other.CopyTo(_ring);
        _start = 0;
        _count = other._count;
    }

    private ref readonly (SampleTime Hall, long DeviceUs, BootId Boot) At(int index) => ref _ring[(_start + index) & (_ring.Length - 1)];

    private void CopyTo((SampleTime Hall, long DeviceUs, BootId Boot)[] target)
    {
        for (var i = 0; i < _count; i++)
        {
            target[i] = At(i);
        }
    }
}

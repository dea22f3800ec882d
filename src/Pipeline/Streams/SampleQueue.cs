using Saltograph.Imu;

namespace Saltograph.Pipeline.Streams;

/// <summary>A sample on the hall clock that waits for its turn.</summary>
/// <param name="Sample">The sample.</param>
/// <param name="DeviceUs">Its time on the device clock as the packet states it, us: the same whatever arrived when.</param>
/// <param name="Boot">Which power-up.</param>
/// <param name="NewSampleRateHz">The sample rate when it changes with this sample, Hz; 0 otherwise.</param>
internal readonly record struct QueuedSample(ImuSample Sample, long DeviceUs, BootId Boot, double NewSampleRateHz);

/// <summary>Samples of one site in the order of their times. Grows while something bursts, then stays.</summary>
internal sealed class SampleQueue
{
    private const int FirstCapacity = 1024;

    private QueuedSample[] _ring = new QueuedSample[FirstCapacity];
    private int _start;

    public int Count { get; private set; }

    public ref readonly QueuedSample First => ref _ring[_start];

    public void Add(in QueuedSample sample)
    {
        if (Count == _ring.Length)
        {
            var larger = new QueuedSample[2 * _ring.Length];
            CopyTo(larger);
            _ring = larger;
            _start = 0;
        }

        _ring[(_start + Count) & (_ring.Length - 1)] = sample;
        Count++;
    }

    public void RemoveFirst()
    {
        _start = (_start + 1) & (_ring.Length - 1);
        Count--;
    }

    public void Clear() => Count = 0;

    public void CopyFrom(SampleQueue other)
    {
        if (_ring.Length < other._ring.Length)
        {
            _ring = new QueuedSample[other._ring.Length];
        }

        other.CopyTo(_ring);
        _start = 0;
        Count = other.Count;
    }

    private void CopyTo(QueuedSample[] target)
    {
        for (var i = 0; i < Count; i++)
        {
            target[i] = _ring[(_start + i) & (_ring.Length - 1)];
        }
    }
}

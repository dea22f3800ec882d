namespace Saltograph.Board.Live;

/// <summary>25 ms of an athlete's trunk, for the strip.</summary>
/// <param name="Index">Which 25 ms: time since 1970 over 25 ms, rounded down.</param>
/// <param name="LeastMps2">Least upward acceleration, m/s2; 0 at rest, about -9.81 in free flight.</param>
/// <param name="MostMps2">Greatest upward acceleration, m/s2.</param>
/// <param name="TurnRateDps">Mean turn rate, deg/s, positive to the left.</param>
public readonly record struct MotionBin(long Index, double LeastMps2, double MostMps2, double TurnRateDps)
{
    /// <summary>Length of a bin, us.</summary>
    public const long LengthUs = 25_000;
}

/// <summary>Gathers samples into bins; the bin that is still open stays here.</summary>
public sealed class MotionBins
{
    private readonly List<MotionBin> _full = [];
    private long _index = long.MinValue;
    private double _least;
    private double _most;
    private double _turnSum;
    private int _count;

    /// <summary>Adds a sample; times do not go back, or the open bin begins anew.</summary>
    /// <param name="timeUs">Hall time, us since 1970.</param>
    /// <param name="verticalMps2">Upward acceleration, m/s2.</param>
    /// <param name="turnRateDps">Turn rate, deg/s.</param>
    public void Add(long timeUs, double verticalMps2, double turnRateDps)
    {
        var index = timeUs / MotionBin.LengthUs;
        if (index != _index)
        {
            if (_count > 0 && index > _index)
            {
                _full.Add(new(_index, _least, _most, _turnSum / _count));
            }

            (_index, _least, _most, _turnSum, _count) = (index, verticalMps2, verticalMps2, 0, 0);
        }

        _least = Math.Min(_least, verticalMps2);
        _most = Math.Max(_most, verticalMps2);
        _turnSum += turnRateDps;
        _count++;
    }

    /// <summary>The bins that have become full since the last call.</summary>
    public IReadOnlyList<MotionBin> Take()
    {
        MotionBin[] taken = [.. _full];
        _full.Clear();
        return taken;
    }
}

namespace Saltograph.Pipeline.Streams;

/// <summary>
/// The sample rate that the filters of a sensor run at. They start anew when it changes, so it follows large changes only:
/// another interval in the packets, or stamps that have contradicted the interval for long.
/// </summary>
internal sealed class SampleRate
{
    /// <summary>Lowest and highest rate that filters are made for, Hz; a measured interval may lie 2 per cent outside.</summary>
    private const double LowestHz = 50;
    private const double HighestHz = 2000;
    private const double Slack = 0.02;

    private const double OtherInterval = 0.01;

    // An interval that is wrong by half a per cent makes a turn of 360 degrees wrong by 2.
    private const double WrongInterval = 0.005;
    private const int PacketsInARow = 200;

    private double _statedIntervalS;
    private int _inARow;

    /// <summary>The rate told last, Hz; 0 when none was.</summary>
    public double Hz { get; private set; }

    public static bool IsSupported(uint intervalNanoseconds) =>
        1e9 / intervalNanoseconds is >= LowestHz * (1 - Slack) and <= HighestHz * (1 + Slack);

    public void Clear()
    {
        Hz = 0;
        _inARow = 0;
    }

    /// <summary>The rate when it has to be told again, Hz; else 0.</summary>
    /// <param name="intervalNanoseconds">As the packet states it.</param>
    /// <param name="ratio">True interval over stated interval, as the stamps of the packets show it.</param>
    /// <param name="follows">Whether the packet continues the one before.</param>
    public double Changed(uint intervalNanoseconds, double ratio, bool follows)
    {
        var intervalS = intervalNanoseconds * 1e-9;
        _inARow = follows ? _inARow + 1 : 0;
        if (Hz == 0 || Math.Abs((intervalS / _statedIntervalS) - 1) > OtherInterval)
        {
            _statedIntervalS = intervalS;
            _inARow = 0;
            return Tell(1 / intervalS);
        }

        var measuredHz = 1 / (intervalS * ratio);
        return _inARow >= PacketsInARow && Math.Abs((measuredHz / Hz) - 1) > WrongInterval ? Tell(measuredHz) : 0;
    }

    public void CopyFrom(SampleRate other)
    {
        (_statedIntervalS, _inARow) = (other._statedIntervalS, other._inARow);
        Hz = other.Hz;
    }

    private double Tell(double rateHz) => Hz = Math.Clamp(rateHz, LowestHz, HighestHz);
}

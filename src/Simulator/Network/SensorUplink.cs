using Saltograph.Imu;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Session;
using Saltograph.Wire.Packets;

namespace Saltograph.Simulator.Network;

/// <summary>Packs one sensor's readings as its firmware would, and sends them over a faulty network.</summary>
internal sealed class SensorUplink
{
    private const double ShortestRestartS = 1.5;
    private const double LongestRestartS = 2.5;
    private const double FirstExchangeAfterS = 1;
    private const double ExchangeEveryS = 16;

    // 12 days: the packet allows a clock that starts anywhere, and only that shows clocks that are mixed up.
    private const double LatestClockStartMicroseconds = 1L << 40;

    private readonly SimulatedSensor _sensor;
    private readonly SiteSampler _sampler;
    private readonly NetworkOptions _options;
    private readonly Pcg32 _random;
    private readonly Pcg32 _clock;
    private readonly PacketWriter _writer = new();
    private readonly short[] _counts;
    private readonly double _rateHz;
    private readonly long _hallStartMicroseconds;
    private int _count;
    private int? _chargePercent;
    private PacketHeader _header;
    private long _samplesSinceBoot;
    private uint _sequence;
    private double _burstUntilS = double.NegativeInfinity;
    private double _restartUntilS = double.NegativeInfinity;
    private long _clockStartMicroseconds;
    private readonly IReadOnlyList<DeadSensor> _dead;
    private double _nextExchangeS;
    private double? _statedErrorMicroseconds;

    public SensorUplink(
        SimulatedSensor sensor, SiteSampler sampler, NetworkOptions options, double rateHz, long hallStartMicroseconds, Pcg32 random,
        IReadOnlyList<DeadSensor>? dead = null)
    {
        _dead = dead ?? [];
        (_sensor, _sampler, _options, _rateHz, _hallStartMicroseconds, _random) = (sensor, sampler, options, rateHz, hallStartMicroseconds, random);
        _clock = random.Fork(1);
        _counts = new short[PacketFormat.AxesPerSample * options.SamplesPerPacket];
        Boot(0);
    }

    /// <summary>Takes a reading; a full packet goes out, to be received never, once or twice.</summary>
    public void Take(in RawSample raw, PriorityQueue<SimulatedPacket, (double, long)> inFlight, ref long order)
    {
        if (raw.TrueS < _restartUntilS || IsDead(raw.TrueS))
        {
            return;
        }

        if (_count == 0)
        {
            // The device's clock is the crystal that also paces the readings.
            var deviceMicroseconds = _clockStartMicroseconds + (long)Math.Round(_samplesSinceBoot * 1e6 / _rateHz);
            _header = _header with
            {
                Sequence = _sequence++,
                BatteryPercent = Charge(raw.TrueS),
                FirstSampleDeviceMicroseconds = deviceMicroseconds,
                HallMinusDeviceMicroseconds = StatedErrorMicroseconds(raw.TrueS) is { } error
                    ? _hallStartMicroseconds + (long)Math.Round(((raw.TrueS + _sampler.OffsetS) * 1e6) + error) - deviceMicroseconds
                    : null,
            };
        }

        ReadOnlySpan<short> counts = [raw.Ax, raw.Ay, raw.Az, raw.Gx, raw.Gy, raw.Gz];
        counts.CopyTo(_counts.AsSpan(_count * PacketFormat.AxesPerSample));
        _count++;
        _samplesSinceBoot++;
        if (_count == _options.SamplesPerPacket)
        {
            Send(raw.TrueS, inFlight, ref order);
        }
    }

    /// <summary>Sends what is there although the packet is not full: the end of a recording.</summary>
    public void Complete(double nowS, PriorityQueue<SimulatedPacket, (double, long)> inFlight, ref long order)
    {
        if (_count > 0)
        {
            Send(nowS, inFlight, ref order);
        }
    }

    // Null while the firmware does not know the hall clock.
    private double? StatedErrorMicroseconds(double nowS)
    {
        if (_options.FirmwareKnowsOffset && nowS >= _nextExchangeS)
        {
            _statedErrorMicroseconds = _clock.Normal() * _options.StatedOffsetErrorS * 1e6;
            _nextExchangeS += ExchangeEveryS;
        }

        return _statedErrorMicroseconds;
    }

    private void Send(double nowS, PriorityQueue<SimulatedPacket, (double, long)> inFlight, ref long order)
    {
        var bytes = _writer.Write(_header, _counts.AsSpan(0, _count * PacketFormat.AxesPerSample));
        _count = 0;
        if (_random.Chance(_options.BurstProbability))
        {
            _burstUntilS = nowS - (_options.BurstS * Math.Log(1 - _random.Unit()));
        }

        var lost = _random.Chance(_options.LossProbability);
        var copies = _random.Chance(_options.DuplicateProbability) ? 2 : 1;
        for (var copy = 0; copy < copies; copy++)
        {
            var delay = _options.DelayS - (_options.JitterS * Math.Log(1 - _random.Unit()));
            if (_random.Chance(_options.ReorderProbability))
            {
                delay += _random.Between(0.3, 1) * _options.ReorderS;
            }

            if (!lost && nowS >= _burstUntilS)
            {
                inFlight.Enqueue(new(_sensor, nowS, nowS + delay, bytes), (nowS + delay, order++));
            }
        }

        if (_random.Chance(_options.RebootProbability))
        {
            Boot(nowS + _random.Between(ShortestRestartS, LongestRestartS));
        }
    }

    private void Boot(double fromS)
    {
        _restartUntilS = fromS;
        _samplesSinceBoot = 0;
        _sequence = 0;
        _clockStartMicroseconds = (long)(_clock.Unit() * LatestClockStartMicroseconds);
        _nextExchangeS = fromS + FirstExchangeAfterS;
        _statedErrorMicroseconds = null;
        _header = new()
        {
            Boot = new(_random.NextUInt32()),
            IntervalNanoseconds = (uint)Math.Round(1e9 / _rateHz),
            AccelerometerCountMps2 = _sampler.Sensor.AccelerometerScaleMps2,
            GyroscopeCountRadps = _sampler.Sensor.GyroscopeScaleRadps,
            BatteryPercent = 40 + _random.Index(61),
        };
        _chargePercent = _header.BatteryPercent;
    }

    // What it had not yet sent is lost with it; it powers up anew at the end.
    private bool IsDead(double nowS)
    {
        foreach (var dead in _dead)
        {
            if (dead.Holds(nowS))
            {
                _count = 0;
                if (_restartUntilS < dead.ToS)
                {
                    Boot(dead.ToS);
                }

                return true;
            }
        }

        return false;
    }

    private int? Charge(double nowS)
    {
        var left = 1.0;
        foreach (var dead in _dead)
        {
            left = nowS < dead.FromS && dead.RunsDownS > 0 ? Math.Min(left, (dead.FromS - nowS) / dead.RunsDownS) : left;
        }

        return (int?)(_chargePercent * left);
    }
}

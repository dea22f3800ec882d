using Saltograph.Imu;
using Saltograph.Simulator.Motion;
using Saltograph.Simulator.Sensors;

namespace Saltograph.Simulator.Session;

/// <summary>One sensor on the body: from poses to readings at the sensor's own instants.</summary>
internal sealed class SiteSampler
{
    private readonly Mount _mount;
    private readonly AntiAlias _filter;
    private readonly Kinematics _kinematics;
    private readonly StrapResponse _strap;
    private readonly FineHistory _history;
    private readonly double _fineRateHz;
    private readonly double _intervalS;
    private readonly double _firstS;
    private long _next;

    public SiteSampler(Mount mount, SensorOptions options, AntiAlias filter, double fineRateHz, Pcg32 random)
    {
        (_mount, _filter, _fineRateHz) = (mount, filter, fineRateHz);
        _kinematics = new(1 / fineRateHz);
        _strap = mount.NewStrap(fineRateHz);
        _history = new(filter.Length + (int)Math.Ceiling(4 * fineRateHz / options.SampleRateHz) + 8);
        OffsetS = random.Normal() * options.ClockOffsetS;
        DriftPpm = random.Normal() * options.ClockDriftPpm;
        _intervalS = (1 + (DriftPpm * 1e-6)) / options.SampleRateHz;
        _firstS = random.Unit() * _intervalS;
        Sensor = new(mount.Site, options, mount.Housing, random);
    }

    public ImperfectSensor Sensor { get; }

    /// <summary>Length of one nominal interval against true time: positive when the crystal is slow.</summary>
    public double DriftPpm { get; }

    /// <summary>Error of its time on the common time base, s.</summary>
    public double OffsetS { get; }

    /// <summary>True time of the next reading, s.</summary>
    public double NextS => _firstS + (_next * _intervalS);

    public void Push(long index, in Pose pose, Movement movement)
    {
        var (place, frame) = _mount.Feel(pose, movement, index / _fineRateHz);
        if (_kinematics.Step(place, frame, out var force, out var rate))
        {
            _history.Store(index - 1, _strap.Step(force), rate);
        }
    }

    /// <summary>The next reading, when all fine samples it needs are there and its true time is below the limit.</summary>
    public bool TryRead(long newest, double untilS, out RawSample raw)
    {
        var trueS = NextS;
        var place = trueS * _fineRateHz;
        var floor = (long)Math.Floor(place);
        if (trueS >= untilS || floor + _filter.HalfLength > newest - 1)
        {
            raw = default;
            return false;
        }

        var (force, rate) = _history.Weigh(floor - _filter.HalfLength + 1, _filter.Taps(place - floor));
        raw = Sensor.Read(trueS, trueS + OffsetS, force, rate);
        _next++;
        return true;
    }
}

using Saltograph.Ahrs;
using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Pipeline.Motion;

/// <summary>Orientation of one site, with gaps bridged, so that what follows sees evenly spaced samples.</summary>
internal sealed class SiteMotion
{
    private readonly VqfFilter _filter;
    private readonly double _intervalS;
    private readonly double _longestBridgeS;
    private ImuSample _last;
    private bool _started;

    public SiteMotion(double sampleRateHz, MotionOptions options)
    {
        _filter = new(options.Orientation, sampleRateHz);
        _intervalS = 1 / sampleRateHz;
        _longestBridgeS = options.LongestBridgeS;
    }

    /// <summary>How many samples are missing before this one, when they can be bridged; 0 when none, null when too many.</summary>
    public int? MissingBefore(in ImuSample sample)
    {
        if (!_started)
        {
            return 0;
        }

        var stepS = sample.Time - _last.Time;
        var missing = (int)Math.Round(stepS / _intervalS) - 1;
        return missing <= 0 ? 0 : stepS <= _longestBridgeS ? missing : null;
    }

    /// <summary>The sample number <paramref name="index"/> of <paramref name="missing"/> on the straight line to the next received one.</summary>
    public ImuSample Bridge(in ImuSample next, int index, int missing)
    {
        var share = (index + 1.0) / (missing + 1);
        return new(
            _last.Time.PlusSeconds(share * (next.Time - _last.Time)),
            _last.SpecificForceSensorMps2 + (share * (next.SpecificForceSensorMps2 - _last.SpecificForceSensorMps2)),
            _last.AngularRateSensorRadps + (share * (next.AngularRateSensorRadps - _last.AngularRateSensorRadps)),
            SampleMarks.Bridged);
    }

    /// <summary>Takes a sample; false when the filter refuses it (not finite), and then nothing changes.</summary>
    public bool TryFollow(in ImuSample sample, out MotionSample motion)
    {
        motion = default;
        if (!_filter.Update(sample.AngularRateSensorRadps, sample.SpecificForceSensorMps2).IsAccepted)
        {
            return false;
        }

        motion = new(
            sample.Time,
            sample.SpecificForceSensorMps2,
            sample.AngularRateSensorRadps - _filter.GyroscopeBiasSensorRadps,
            _filter.EarthFromSensor,
            sample.Marks);
        return true;
    }

    /// <summary>Keeps the received sample: the next gap is bridged from it.</summary>
    public void Remember(in ImuSample received)
    {
        _last = received;
        _started = true;
    }

    public (VqfState Filter, ImuSample Last, bool Started) Capture() => (_filter.Capture(), _last, _started);

    public void Restore((VqfState Filter, ImuSample Last, bool Started) state)
    {
        _filter.Restore(state.Filter);
        _last = state.Last;
        _started = state.Started;
    }
}

using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline.Motion;
using Saltograph.Wire.Events;

namespace Saltograph.Pipeline.Streams;

/// <summary>Hands samples to the detection and gives its facts names, running numbers and what is known of the clocks.</summary>
internal sealed class MotionStage(AthleteId athlete, SensorStream[] streams, MotionOptions options)
{
    private readonly JumpFacts _facts = new();
    private readonly AnchorTimes _anchors = new();
    private MotionTracker _tracker = new(options);

    // Detection counts from 1; when it starts anew the numbers go on.
    private int _jumpsBefore;
    private int _lastJump;
    private int _seriesBefore;
    private int _lastSeries;

    public void Push(Site site, in QueuedSample queued, PipelineOutput output)
    {
        if (queued.NewSampleRateHz > 0)
        {
            if (site == Site.Trunk)
            {
                Complete(output); // a new rate makes the detection forget what is still open
            }

            _tracker.SetSampleRate(site, queued.NewSampleRateHz);
        }

        if (site == Site.Trunk)
        {
            _anchors.Add(queued);
        }

        _tracker.Push(site, queued.Sample, _facts);
        if (site == Site.Trunk && _tracker.LastTrunk is { } trunk && trunk.Time == queued.Sample.Time)
        {
            output.Trunk.Add(TrunkMotion.Of(trunk));
        }

        HandOver(output);
    }

    public void Complete(PipelineOutput output)
    {
        _tracker.Complete(_facts);
        HandOver(output);
    }

    /// <summary>Forgets orientation and detection; numbers go on.</summary>
    public void StartAnew(PipelineOutput output)
    {
        Complete(output);
        _tracker = new(options);
        _anchors.Clear();
        (_jumpsBefore, _seriesBefore) = (_lastJump, _lastSeries);
    }

    public MotionStageState Capture()
    {
        var anchors = new AnchorTimes();
        anchors.CopyFrom(_anchors);
        return new()
        {
            Tracker = _tracker.Capture(),
            Anchors = anchors,
            Numbers = (_jumpsBefore, _lastJump, _seriesBefore, _lastSeries),
        };
    }

    public void Restore(MotionStageState state)
    {
        _tracker = new(options);
        _tracker.Restore(state.Tracker!);
        _anchors.CopyFrom(state.Anchors!);
        (_jumpsBefore, _lastJump, _seriesBefore, _lastSeries) = state.Numbers;
        _facts.Clear();
    }

    private void HandOver(PipelineOutput output)
    {
        if (_facts.Landings.Count + _facts.Jumps.Count + _facts.Refused.Count == 0)
        {
            return;
        }

        foreach (var landing in _facts.Landings)
        {
            output.Landings.Add(new(Name("landing", landing.AnchorTime), landing));
        }

        foreach (var jump in _facts.Jumps)
        {
            output.Jumps.Add(new(Name("jump", jump.AnchorTime), OfSession(jump)));
        }

        output.RefusedFlights.AddRange(_facts.Refused);
        _facts.Clear();
    }

    private string Name(string kind, SampleTime anchor)
    {
        var (deviceUs, boot) = _anchors.At(anchor);
        return EventIds.OfSample(kind, athlete, streams[0].Sensor, boot, deviceUs); // the trunk is the first site
    }

    private JumpRecord OfSession(JumpRecord jump)
    {
        _lastJump = jump.Number + _jumpsBefore;
        var series = jump.Series is { } place ? place with { Id = place.Id + _seriesBefore } : null;
        _lastSeries = series?.Id ?? _lastSeries;
        return jump with
        {
            Number = _lastJump,
            Series = series,
            Quality = AreClocksKnown(jump.TakeoffTime) ? jump.Quality : [.. jump.Quality, QualityWords.ClockUnsynchronised],
        };
    }

    private bool AreClocksKnown(SampleTime since)
    {
        foreach (var stream in streams)
        {
            if (stream is { LastHall: not null, IsSilent: false } && !(stream.SynchronisedSince <= since))
            {
                return false;
            }
        }

        return true;
    }
}

/// <summary>Memory of a <see cref="MotionStage"/>.</summary>
internal sealed class MotionStageState
{
    public MotionState? Tracker { get; init; }

    public AnchorTimes? Anchors { get; init; }

    public (int JumpsBefore, int LastJump, int SeriesBefore, int LastSeries) Numbers { get; init; }
}

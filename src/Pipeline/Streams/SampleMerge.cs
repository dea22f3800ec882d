using Saltograph.Imu;

namespace Saltograph.Pipeline.Streams;

/// <summary>
/// Brings the samples of an athlete's sensors into one order of time. A sample leaves when every sensor has shown later
/// ones: with packets of one length nothing waits longer than one packet. A sensor that stays away is waited for once, up
/// to the option, and left out until it is in step again.
/// </summary>
internal sealed class SampleMerge(AthleteId athlete, SensorStream[] streams, PipelineOptions options)
{
    private readonly MotionStage _motion = new(athlete, streams, options.Motion);
    // Dropping that goes on is told this often, in data.
    private const double TellOvertakenEveryS = 1;

    private SampleTime? _lastReleased;

    // Where sensors that have not been heard of are taken to stand: at the first sample of any.
    private SampleTime? _origin;

    /// <summary>Moves packets that are due into the queue of their sensor, all that are held when giving up what is missing.</summary>
    public void Drain(SensorStream stream, bool giveUp, PipelineOutput output)
    {
        while (stream.Sequence.TryTake(giveUp, out var packet, out var lost))
        {
            Take(stream, packet, lost, output);
        }
    }

    /// <summary>Releases what need not wait any longer.</summary>
    public void Release(PipelineOutput output)
    {
        while (Newest() is { } newest)
        {
            if (Watermark(newest, output) is { } watermark)
            {
                ReleaseUntil(watermark, output);
                return;
            }
        }
    }

    /// <summary>End of the input.</summary>
    public void Finish(PipelineOutput output)
    {
        ReleaseUntil(new(long.MaxValue), output);
        _motion.Complete(output);
    }

    public MergeState Capture() => new() { LastReleased = _lastReleased, Origin = _origin, Motion = _motion.Capture() };

    public void Restore(MergeState state)
    {
        (_lastReleased, _origin) = (state.LastReleased, state.Origin);
        _motion.Restore(state.Motion!);
    }

    private void Take(SensorStream stream, HeldPacket packet, uint lost, PipelineOutput output)
    {
        if (stream.Place(packet, lost, OthersLeadUs(stream), output))
        {
            ReleaseUntil(new(long.MaxValue), output);
            _motion.StartAnew(output);
            foreach (var each in streams)
            {
                each.StartMotion();
            }

            (_lastReleased, _origin) = (null, null);
            output.Sensors.Add(stream.Fact(SensorFactKind.MotionRestart, packet.ReceivedHall));
        }

        stream.Append(packet);
        stream.Sequence.Return(packet);
        _origin ??= stream.Queue.First.Sample.Time;
    }

    private SampleTime? Newest()
    {
        SampleTime? newest = null;
        foreach (var stream in streams)
        {
            newest = stream.LastHall is { } last && !(newest >= last) ? last : newest;
        }

        // The trunk carries the detection: while it is being heard, a shank whose clock runs ahead must not leave it behind.
        return streams[0] is { Site: Site.Trunk, LastHall: { } trunk } && trunk < newest && IsHeard(streams[0]) ? trunk : newest;
    }

    private bool IsHeard(SensorStream stream)
    {
        foreach (var other in streams)
        {
            if (other.LastArrival - stream.LastArrival > stream.WaitS)
            {
                return false;
            }
        }

        return true;
    }

    private double OthersLeadUs(SensorStream stream)
    {
        var leadUs = 0.0;
        foreach (var other in streams)
        {
            leadUs = other == stream ? leadUs : Math.Max(leadUs, other.LeadUs);
        }

        return leadUs;
    }

    // The time up to which every sensor that counts has shown its samples; null when one had to give up waiting for a
    // packet and now stands elsewhere.
    private SampleTime? Watermark(SampleTime newest, PipelineOutput output)
    {
        var watermark = newest;
        foreach (var stream in streams)
        {
            var shown = stream.LastHall ?? _origin!.Value;
            if (newest - shown <= stream.WaitS)
            {
                if (stream is { SilentSince: { } since, LastHall: not null })
                {
                    // After its silence in the order of time too: a trunk that starts anew is back before its samples are.
                    stream.SilentSince = null;
                    output.Sensors.Add(stream.Fact(SensorFactKind.Returned, shown > since ? shown : new(since.Microseconds + 1)));
                }

                // One that was not heard of yet may begin earlier than the others did: then nothing leaves.
                shown = stream.LastHall is null ? new(long.MinValue) : shown;
                watermark = shown < watermark ? shown : watermark;
            }
            else if (stream.Sequence.TryTake(giveUp: true, out var packet, out var lost))
            {
                Take(stream, packet, lost, output);
                Drain(stream, giveUp: false, output);
                return null;
            }
            else if (!stream.IsSilent)
            {
                stream.SilentSince = newest;
                output.Sensors.Add(stream.Fact(SensorFactKind.Silent, newest));
            }
        }

        return watermark;
    }

    private void ReleaseUntil(SampleTime watermark, PipelineOutput output)
    {
        while (Earliest(watermark) is { } stream)
        {
            var queued = stream.Queue.First;
            stream.Queue.RemoveFirst();
            if (_lastReleased is { } last && queued.Sample.Time < last)
            {
                Overtake(stream, queued.Sample.Time, output);
                stream.PendingRateHz = queued.NewSampleRateHz > 0 ? queued.NewSampleRateHz : stream.PendingRateHz;
                continue;
            }

            if (stream.IsOvertaken)
            {
                stream.IsOvertaken = false;
                TellOvertaken(stream, queued.Sample.Time, output);
                queued = queued with { Sample = queued.Sample with { Marks = queued.Sample.Marks | SampleMarks.AfterGap } };
            }

            if (stream.PendingRateHz > 0)
            {
                queued = queued.NewSampleRateHz > 0 ? queued : queued with { NewSampleRateHz = stream.PendingRateHz };
                stream.PendingRateHz = 0;
            }

            _motion.Push(stream.Site, queued, output);
            _lastReleased = queued.Sample.Time;
        }
    }

    private static void Overtake(SensorStream stream, SampleTime time, PipelineOutput output)
    {
        stream.IsOvertaken = true;
        stream.OvertakenSince ??= time;
        stream.OvertakenCount++;
        stream.Tally.Overtaken++;
        if (time - stream.OvertakenSince >= TellOvertakenEveryS)
        {
            TellOvertaken(stream, time, output);
        }
    }

    private static void TellOvertaken(SensorStream stream, SampleTime time, PipelineOutput output)
    {
        if (stream.OvertakenCount > 0)
        {
            output.Sensors.Add(stream.Fact(SensorFactKind.Overtaken, time, stream.OvertakenCount));
        }

        (stream.OvertakenSince, stream.OvertakenCount) = (null, 0);
    }

    // Of samples at the same time the one of the lower site goes first: the streams are in the order of the sites.
    private SensorStream? Earliest(SampleTime watermark)
    {
        SensorStream? earliest = null;
        foreach (var stream in streams)
        {
            if (stream.Queue.Count > 0 && stream.Queue.First.Sample.Time <= watermark
                && (earliest is null || stream.Queue.First.Sample.Time < earliest.Queue.First.Sample.Time))
            {
                earliest = stream;
            }
        }

        return earliest;
    }
}

/// <summary>Memory of a <see cref="SampleMerge"/>.</summary>
internal sealed class MergeState
{
    public SampleTime? LastReleased { get; init; }

    public SampleTime? Origin { get; init; }

    public MotionStageState? Motion { get; init; }
}

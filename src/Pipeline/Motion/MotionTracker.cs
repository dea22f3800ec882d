using Saltograph.Ahrs;
using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Pipeline.Motion;

/// <summary>
/// The sample level of one athlete: gaps bridged, orientation followed, jumps found. The same object serves the live
/// service, the analysis of files and the benchmarks.
/// </summary>
public sealed class MotionTracker
{
    private readonly MotionOptions _options;
    private readonly JumpTracker _jumps;
    private readonly SiteMotion?[] _sites = new SiteMotion?[Sites.Count];
    private readonly double[] _sampleRatesHz = new double[Sites.Count];

    /// <summary>Makes a tracker that knows no site yet.</summary>
    /// <param name="options">Validated here.</param>
    public MotionTracker(MotionOptions options)
    {
        options.Validate();
        _options = options;
        _jumps = new(options.Jumps);
    }

    /// <summary>Samples that were refused because a number was not finite.</summary>
    public long RefusedSamples { get; private set; }

    /// <summary>The last sample of the trunk whose orientation was followed: for screens, not for measures. Null before the first, and right after a restore.</summary>
    public MotionSample? LastTrunk { get; private set; }

    /// <summary>Tells the sample rate of a site: before its first sample, and again when it changes. The site then starts anew.</summary>
    /// <param name="site">Which.</param>
    /// <param name="sampleRateHz">50 to 2000 Hz.</param>
    public void SetSampleRate(Site site, double sampleRateHz)
    {
        _jumps.SetSampleRate(site, sampleRateHz);
        _sites[(int)site] = new(sampleRateHz, _options);
        _sampleRatesHz[(int)site] = sampleRateHz;
    }

    /// <summary>
    /// Takes the next sample: times over all sites must not go backwards, those of one site must grow. Missing samples of
    /// up to <see cref="MotionOptions.LongestBridgeS"/> are bridged and marked.
    /// </summary>
    public void Push(Site site, in ImuSample sample, JumpFacts facts)
    {
        var motion = _sites[(int)site]
            ?? throw new InvalidOperationException($"No sample rate was set for {site.Name()}.");
        if (!sample.IsFinite)
        {
            RefusedSamples++;
            return;
        }

        var received = sample;
        if (motion.MissingBefore(received) is not { } missing)
        {
            received = received with { Marks = received.Marks | SampleMarks.AfterGap };
            if (site == Site.Trunk)
            {
                _jumps.Interrupt(facts);
            }
        }
        else if (missing > 0)
        {
            for (var i = 0; i < missing; i++)
            {
                Follow(site, motion, motion.Bridge(received, i, missing), facts);
            }

            received = received with { Marks = received.Marks | SampleMarks.AfterGap };
        }

        Follow(site, motion, received, facts);
        motion.Remember(received);
    }

    /// <summary>End of the input: closes what is open with what there is.</summary>
    public void Complete(JumpFacts facts) => _jumps.Complete(facts);

    /// <summary>The whole memory, copied.</summary>
    public MotionState Capture() => new()
    {
        Jumps = _jumps.Capture(),
        SampleRatesHz = [.. _sampleRatesHz],
        Sites = [.. _sites.Select(site => site?.Capture())],
        RefusedSamples = RefusedSamples,
    };

    /// <summary>Puts a copied memory back; what follows is then exactly what would have followed.</summary>
    public void Restore(MotionState state)
    {
        for (var i = 0; i < Sites.Count; i++)
        {
            _sampleRatesHz[i] = state.SampleRatesHz[i];
            _sites[i] = null;
            if (state.Sites[i] is { } site)
            {
                _sites[i] = new(_sampleRatesHz[i], _options);
                _sites[i]!.Restore(site);
            }
        }

        _jumps.Restore(state.Jumps!);
        RefusedSamples = state.RefusedSamples;
    }

    private void Follow(Site site, SiteMotion motion, in ImuSample sample, JumpFacts facts)
    {
        if (motion.TryFollow(sample, out var followed))
        {
            _jumps.Push(site, followed, facts);
            if (site == Site.Trunk)
            {
                LastTrunk = followed;
            }
        }
        else
        {
            RefusedSamples++;
        }
    }
}

/// <summary>Memory of a <see cref="MotionTracker"/>; opaque.</summary>
public sealed class MotionState
{
    internal JumpTrackerState? Jumps { get; init; }

    internal double[] SampleRatesHz { get; init; } = [];

    internal (VqfState Filter, ImuSample Last, bool Started)?[] Sites { get; init; } = [];

    internal long RefusedSamples { get; init; }
}

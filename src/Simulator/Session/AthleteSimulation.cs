using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Elements;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Truth;

namespace Saltograph.Simulator.Session;

/// <summary>
/// One gymnast with three sensors, produced on demand from time 0 on with bounded memory: ask for samples up to a time,
/// again and again.
/// </summary>
public sealed class AthleteSimulation
{
    private const double LeadInS = 1;
    private const double KeptBehindS = 4;
    private readonly Performer _performer;
    private readonly Programme _programme;
    private readonly TruthMeasures _measures;
    private readonly SiteSampler[] _samplers;
    private readonly double _fineS;
    private readonly Queue<PlannedJump> _waiting = new();
    private long _fineIndex;
    private int _number;
    private int _jumpsSeen;
    private int _distractorsSeen;

    /// <summary>Prepares gymnast <paramref name="index"/> (from 0) of the options.</summary>
    public AthleteSimulation(SimulationOptions options, int index, AthleteId athlete)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        Athlete = athlete;
        var random = new Pcg32(options.Seed, (ulong)index + 1);
        SkillFraction = options.SkillFraction ?? random.Unit();
        var body = new BodyModel(random.Between(30, 58), random.Between(1.36, 1.72));
        _performer = new Performer(body, SkillFraction, random.Fork(1), -LeadInS)
        {
            Episodes = [.. options.Episodes.Where(episode => episode.AthleteIndex == index)],
        };
        _programme = new(_performer, random.Fork(2), options);
        var mountRandom = random.Fork(3);
        Mount[] mounts =
        [
            Mount.Draw(Site.Trunk, options.Sensors, mountRandom.Fork(0)),
            Mount.Draw(Site.AnkleLeft, options.Sensors, mountRandom.Fork(1)),
            Mount.Draw(Site.AnkleRight, options.Sensors, mountRandom.Fork(2)),
        ];
        var fineRate = options.Sensors.SampleRateHz * Math.Max(4, Math.Ceiling(1600 / options.Sensors.SampleRateHz));
        _fineS = 1 / fineRate;
        _fineIndex = -(long)(0.5 * LeadInS * fineRate);
        var filter = new AntiAlias(fineRate, options.Sensors.BandwidthShare * options.Sensors.SampleRateHz, options.Sensors.SampleRateHz);
        _samplers = [.. mounts.Select(m => new SiteSampler(m, options.Sensors, filter, fineRate, random.Fork(10 + (ulong)m.Site)))];
        _measures = new(_performer.Movement, mounts, 1 / Math.Max(fineRate, 1600));
    }

    /// <summary>Pseudonym.</summary>
    public AthleteId Athlete { get; }

    /// <summary>0 (novice) to 1 (expert).</summary>
    public double SkillFraction { get; }

    /// <summary>Jumps whose truth is known so far; the caller may clear the list.</summary>
    public List<TruthJump> Jumps { get; } = [];

    /// <summary>Distractors so far; the caller may clear the list.</summary>
    public List<TruthDistractor> Distractors { get; } = [];

    /// <summary>
    /// Appends every sample whose true time is below <paramref name="untilS"/> to the three lists (trunk, left, right).
    /// Truth is complete for jumps that landed 1.1 s earlier.
    /// </summary>
    public void Produce(double untilS, IReadOnlyList<List<ImuSample>> samples)
    {
        ArgumentNullException.ThrowIfNull(samples);
        Run(untilS, (site, raw) => samples[site].Add(_samplers[site].Sensor.ToSample(raw)));
    }

    /// <summary>Ends the training: no further element, three seconds of standing. Produce up to the returned time, s.</summary>
    public double Finish()
    {
        _performer.StandStill(3);
        _programme.End();
        TakeOver();
        return _performer.NowS - 0.5;
    }

    /// <summary>The movement behind it, for checks of the mechanics.</summary>
    internal Motion.Movement Movement => _performer.Movement;

    internal SiteSampler SamplerAt(Site site) => _samplers[(int)site];

    internal void Run(double untilS, Action<int, RawSample> take)
    {
        // No fine sample beyond what the readings before the limit need: the histories are short.
        while (_samplers[0].NextS < untilS || _samplers[1].NextS < untilS || _samplers[2].NextS < untilS)
        {
            var t = _fineIndex * _fineS;
            if (t + 0.1 > _performer.NowS)
            {
                Extend();
            }

            var pose = _performer.Movement.At(t);
            for (var site = 0; site < Sites.Count; site++)
            {
                var sampler = _samplers[site];
                sampler.Push(_fineIndex, pose, _performer.Movement);
                while (sampler.TryRead(_fineIndex, untilS, out var raw))
                {
                    take(site, raw);
                }
            }

            _fineIndex++;
        }
    }

    private void Extend()
    {
        _programme.Next();
        TakeOver();
    }

    private void TakeOver()
    {
        for (; _jumpsSeen < _performer.Jumps.Count; _jumpsSeen++)
        {
            _waiting.Enqueue(_performer.Jumps[_jumpsSeen]);
        }

        while (_waiting.TryPeek(out var jump) && jump.Launched.LandingS + TruthMeasures.AfterLandingS + 0.1 < _performer.NowS)
        {
            _ = _waiting.Dequeue();
            var next = _waiting.TryPeek(out var following) ? following.Launched.TakeoffS : double.PositiveInfinity;
            Jumps.Add(_measures.Measure(Athlete, ++_number, jump, next));
        }

        for (; _distractorsSeen < _performer.Distractors.Count; _distractorsSeen++)
        {
            var d = _performer.Distractors[_distractorsSeen];
            Distractors.Add(new(Athlete, d.Kind, d.StartS, d.EndS, d.LongestFlightS));
        }

        _performer.Jumps.Clear();
        _performer.Distractors.Clear();
        (_jumpsSeen, _distractorsSeen) = (0, 0);
        var oldest = Math.Min(
            _fineIndex * _fineS, _waiting.TryPeek(out var first) ? first.Launched.TakeoffS - 1.1 : double.PositiveInfinity);
        _performer.Movement.Trim(oldest - KeptBehindS);
    }
}

using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Pipeline;

namespace Saltograph.Service.Warnings;

/// <summary>What is known of one sensor, as figures of <see cref="SensorFaultKind"/>.</summary>
internal sealed class SensorHealth(AthleteId athlete, SensorId sensor)
{
    private const double LossWindowS = 60;
    private const int Landings = 20;

    // Set right at once when it was wrong by more; about a millisecond when it is known (Pipeline, SensorFactKind).
    private const double UnknownClockMs = 50, KnownClockMs = 1;

    private readonly Queue<(SampleTime End, double LengthS)> _gaps = [];
    private readonly Queue<bool> _clipped = [];
    private readonly SortedDictionary<SensorFaultKind, double> _set = [];
    private readonly Dictionary<SensorFaultKind, string> _levels = [];
    private SampleTime? _silentSince;
    private SampleTime _judged;
    private bool _isExpected;

    public AthleteId Athlete => athlete;

    /// <summary>When silence crosses a limit, or a gap leaves the minute that is looked at.</summary>
    public SampleTime? NextDue(IEnumerable<SensorRule> silent)
    {
        var next = _gaps.TryPeek(out var oldest) ? oldest.End.PlusSeconds(LossWindowS) : (SampleTime?)null;
        if (_silentSince is { } since)
        {
            foreach (var due in silent.Select(rule => new SampleTime(since.Microseconds + (long)Math.Ceiling(1e6 * rule.RaiseAt))).Where(due => due > _judged))
            {
                next = next is null || due < next ? due : next;
            }
        }

        return next;
    }

    public void Take(SensorFactKind kind, SampleTime at, double? durationS, long count)
    {
        switch (kind)
        {
            case SensorFactKind.Silent:
                _silentSince ??= at;
                break;
            case SensorFactKind.Returned:
                _silentSince = null;
                break;
            case SensorFactKind.Gap:
                _silentSince = null;
                _gaps.Enqueue((at, durationS ?? 0));
                break;
            case SensorFactKind.Reboot or SensorFactKind.ClockRestart or SensorFactKind.OffsetRefused:
                _set[SensorFaultKind.Clock] = UnknownClockMs;
                break;
            case SensorFactKind.ClockSynchronised:
                _set[SensorFaultKind.Clock] = KnownClockMs;
                break;
            case SensorFactKind.Battery:
                _set[SensorFaultKind.Battery] = count;
                break;
            default:
                break;
        }
    }

    public void Landed(bool clipped)
    {
        _clipped.Enqueue(clipped);
        if (_clipped.Count > Landings)
        {
            _clipped.Dequeue();
        }

        // A share of fewer would make one landing a fault.
        if (_clipped.Count == Landings)
        {
            _set[SensorFaultKind.Clipped] = 100.0 * _clipped.Count(was => was) / Landings;
        }
    }

    public void Set(SensorFaultKind kind, double value) => _set[kind] = value;

    /// <summary>Nobody expects anything of it any more.</summary>
    public void End()
    {
        _silentSince = null;
        _gaps.Clear();
        _clipped.Clear();
        foreach (var kind in _set.Keys.Where(kind => kind != SensorFaultKind.Battery).ToList())
        {
            _set[kind] = 0;
        }
    }

    /// <summary>A fault of it may be open: it is looked at as it stands.</summary>
    public void Expect() => _isExpected = true;

    /// <summary>Figures that have crossed a limit since they were given last.</summary>
    public IReadOnlyList<SensorFigure> Crossed(SampleTime now, ILookup<SensorFaultKind, SensorRule> rules)
    {
        _judged = now > _judged ? now : _judged;
        while (_gaps.TryPeek(out var oldest) && now - oldest.End >= LossWindowS)
        {
            _gaps.Dequeue();
        }

        var crossed = new List<SensorFigure>();
        Look(SensorFaultKind.Silent, _silentSince is { } since ? Math.Max(0, now - since) : 0);
        Look(SensorFaultKind.Loss, Math.Min(100, 100 * _gaps.Sum(gap => gap.LengthS) / LossWindowS));
        foreach (var (kind, value) in _set)
        {
            Look(kind, value);
        }

        _isExpected = false;
        return crossed;

        void Look(SensorFaultKind kind, double value)
        {
            var sign = kind == SensorFaultKind.Battery ? -1 : 1;
            var level = string.Concat(rules[kind].Select(rule => sign * (value - rule.RaiseAt) is var beyond && beyond >= 0 ? '2' : beyond >= -rule.Deadband ? '1' : '0'));
            var isKnown = _levels.TryGetValue(kind, out var before);
            if (_isExpected || (isKnown ? before != level : level.Contains('2', StringComparison.Ordinal)))
            {
                crossed.Add(new(sensor.Value, kind, value));
            }

            _levels[kind] = level;
        }
    }
}

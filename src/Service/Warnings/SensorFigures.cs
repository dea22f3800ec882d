using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Pipeline;

namespace Saltograph.Service.Warnings;

/// <summary>
/// What is told about sensors as figures that rules can judge: how long one is silent while others of the athlete send, and what share
/// of the last minute it lost. A figure is given when it crosses a limit of a rule, not each second.
/// </summary>
internal sealed class SensorFigures(WarningRules rules)
{
    private const double LossWindowS = 60;

    private readonly Dictionary<(string Athlete, string Sensor), Health> _sensors = [];
    private readonly ILookup<SensorFaultKind, SensorRule> _rules = rules.Rules.OfType<SensorRule>().ToLookup(rule => rule.Kind);

    /// <summary>Takes what became known about a sensor.</summary>
    public void Take(AthleteId athlete, SensorId sensor, SensorFactKind kind, SampleTime at, double? durationS)
    {
        var health = Of(athlete, sensor);
        switch (kind)
        {
            case SensorFactKind.Silent:
                health.SilentSince ??= at;
                break;
            case SensorFactKind.Returned:
                health.SilentSince = null;
                break;
            case SensorFactKind.Gap:
                health.SilentSince = null;
                health.Gaps.Enqueue((at, durationS ?? 0));
                break;
            default:
                break;
        }
    }

    /// <summary>Her measuring ended: nobody expects anything of her sensors.</summary>
    public void End(AthleteId athlete)
    {
        foreach (var pair in _sensors.Where(pair => pair.Key.Athlete == athlete.Value))
        {
            pair.Value.SilentSince = null;
            pair.Value.Gaps.Clear();
        }
    }

    /// <summary>A fault is known to be open: it is looked at again.</summary>
    public void Expect(AthleteId athlete, SensorId sensor) => Of(athlete, sensor).IsExpected = true;

    /// <summary>Figures that have crossed a limit since they were given last.</summary>
    public IEnumerable<DeskInput> Crossed(SampleTime now)
    {
        foreach (var ((athlete, sensor), health) in _sensors)
        {
            while (health.Gaps.TryPeek(out var oldest) && now - oldest.End > LossWindowS)
            {
                health.Gaps.Dequeue();
            }

            var silentS = health.SilentSince is { } since ? Math.Max(0, now - since) : 0;
            var lossPercent = Math.Min(100, 100 * health.Gaps.Sum(gap => gap.LengthS) / LossWindowS);
            foreach (var (kind, value) in new[] { (SensorFaultKind.Silent, silentS), (SensorFaultKind.Loss, lossPercent) })
            {
                var level = string.Concat(_rules[kind].Select(rule => value >= rule.RaiseAt ? '2' : value > rule.RaiseAt - rule.Deadband ? '1' : '0'));
                if (!health.Levels.TryGetValue(kind, out var before) || before != level)
                {
                    health.Levels[kind] = level;
                    if (before is not null || value > 0 || health.IsExpected)
                    {
                        yield return new(DeskInput.ReportKind, athlete) { Figure = new(sensor, kind, value) };
                    }
                }
            }

            health.IsExpected = false;
        }
    }

    private Health Of(AthleteId athlete, SensorId sensor)
    {
        if (!_sensors.TryGetValue((athlete.Value, sensor.Value), out var health))
        {
            _sensors[(athlete.Value, sensor.Value)] = health = new();
        }

        return health;
    }

    private sealed class Health
    {
        public SampleTime? SilentSince { get; set; }

        public Queue<(SampleTime End, double LengthS)> Gaps { get; } = [];

        public Dictionary<SensorFaultKind, string> Levels { get; } = [];

        public bool IsExpected { get; set; }
    }
}

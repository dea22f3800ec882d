using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Pipeline;

namespace Saltograph.Service.Warnings;

/// <summary>
/// What is told about sensors as figures that rules can judge: how long one is silent while others of the athlete send, what share of the last minute it lost, how often it was at its rail in the
/// last landings, its battery, its clock. A figure is given when it crosses a limit of a rule, at the time at which it does so by the data: the same in every run.
/// </summary>
internal sealed class SensorFigures(WarningRules rules)
{
    private readonly SortedDictionary<string, SensorHealth> _sensors = new(StringComparer.Ordinal);
    private readonly PriorityQueue<Action<SampleTime>, (long AtUs, long Number)> _told = new();
    private readonly ILookup<SensorFaultKind, SensorRule> _rules = rules.Rules.OfType<SensorRule>().ToLookup(rule => rule.Kind);
    private long _number;

    /// <summary>When something may cross a limit next; null when nothing is known to.</summary>
    public SampleTime? NextDue
    {
        get
        {
            var next = _told.TryPeek(out _, out var place) ? new SampleTime(place.AtUs) : (SampleTime?)null;
            foreach (var due in _sensors.Values.Select(health => health.NextDue(_rules[SensorFaultKind.Silent])))
            {
                next = next is null || due < next ? due ?? next : next;
            }

            return next;
        }
    }

    /// <summary>Takes what became known about a sensor.</summary>
    public void Take(AthleteId athlete, SensorId sensor, SensorFactKind kind, SampleTime at, double? durationS, long count) =>
        Tell(at, time => Of(athlete, sensor).Take(kind, time, durationS, count));

    /// <summary>A landing was measured by a sensor.</summary>
    public void Landed(AthleteId athlete, SensorId sensor, bool clipped, SampleTime at) => Tell(at, _ => Of(athlete, sensor).Landed(clipped));

    /// <summary>A sensor told its battery in its state, per cent; what packets tell comes as a fact.</summary>
    public void Battery(AthleteId athlete, SensorId sensor, double percent, SampleTime at) => Tell(at, _ => Of(athlete, sensor).Set(SensorFaultKind.Battery, percent));

    /// <summary>Her measuring ended: nobody expects anything of her sensors.</summary>
    public void End(AthleteId athlete, SampleTime at) => Tell(at, _ =>
    {
        foreach (var health in _sensors.Values.Where(health => health.Athlete == athlete))
        {
            health.End();
        }
    });

    /// <summary>What was told up to a time was judged by the process before: it is known, and looked at once more as it stands then.</summary>
    /// <param name="reached">The time that the engine has reached.</param>
    /// <param name="open">Faults that are open: they are looked at too.</param>
    public void Recall(SampleTime reached, IEnumerable<(AthleteId Athlete, SensorId Sensor)> open)
    {
        while (NextDue is { } due && due <= reached)
        {
            At(due);
        }

        Tell(reached, _ =>
        {
            foreach (var health in open.Select(fault => Of(fault.Athlete, fault.Sensor)).Concat(_sensors.Values).ToList())
            {
                health.Expect();
            }
        });
    }

    /// <summary>Goes on to a time, that of <see cref="NextDue"/>, and gives the figures that have crossed a limit.</summary>
    public IReadOnlyList<DeskInput> At(SampleTime now)
    {
        while (_told.TryPeek(out _, out var place) && place.AtUs <= now.Microseconds)
        {
            _told.Dequeue()(new(place.AtUs));
        }

        return [.. from health in _sensors.Values
                   from figure in health.Crossed(now, _rules)
                   select new DeskInput(DeskInput.ReportKind, health.Athlete.Value) { Figure = figure }];
    }

    private void Tell(SampleTime at, Action<SampleTime> what) => _told.Enqueue(what, (at.Microseconds, ++_number));

    private SensorHealth Of(AthleteId athlete, SensorId sensor)
    {
        var key = $"{athlete} {sensor}";
        if (!_sensors.TryGetValue(key, out var health))
        {
            _sensors[key] = health = new(athlete, sensor);
        }

        return health;
    }
}

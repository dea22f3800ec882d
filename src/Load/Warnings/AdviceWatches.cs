using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Looks for change inside the session, in the direction of fatigue.</summary>
internal sealed class FatigueWatch(FatigueRule rule, AthleteId athlete, Journal journal) : Watch(rule, athlete, journal)
{
    public override void Landed(LandingVerdict landing, IReadOnlyList<CountedJump> session, SampleTime at)
    {
        var same = session.Where(jump => jump.Element == landing.Jump.Element);
        foreach (var change in SessionChange.Of(same, rule.Options))
        {
            var (name, said, unit, factor) = change.Measure switch
            {
                ChangeMeasure.Height => ("height", "Height", "cm", 100.0),
                ChangeMeasure.ContactTime => ("contact-time", "Contact time", "ms", 1000.0),
                _ => ("shock", "Landing shock", "g", 1.0),
            };
            var point = Point($"{name}-{Words(landing.Jump.LandingLeg)}-{landing.Jump.Form?.ToString().ToLowerInvariant() ?? "unknown"}-{landing.Jump.HalfTurns?.ToString((IFormatProvider?)null) ?? "x"}-{landing.Jump.Apparatus ?? "free"}");
            var sign = change.Measure == ChangeMeasure.Height ? -1 : 1;
            var holds = sign * change.Seen > (point.Holds ? rule.ClearShare : 1) * change.NeededChange;
            point.Set(
                holds,
                at,
                holds && change.Change is not null ? new($"{said} {(change.Change > 0 ? "up" : "down")} by {Tenths(factor * Math.Abs(change.Change!.Value))} {unit} from the first third of {change.Jumps} jumps to the last; it counts from {Tenths(factor * change.NeededChange)} {unit} on.", change.Change, change.NeededChange, [landing.Jump.Id]) : null);
        }
    }

    public override void SessionEnded(IReadOnlyList<CountedJump> session, SampleTime at)
    {
        foreach (var point in Points)
        {
            point.Set(false, at);
        }
    }
}

/// <summary>Compares the session's symmetry with that of her earlier sessions.</summary>
internal sealed class AsymmetryWatch(AsymmetryRule rule, AthleteId athlete, Journal journal) : Watch(rule, athlete, journal)
{
    private readonly List<double> _earlierPercent = [];

    public override void Landed(LandingVerdict landing, IReadOnlyList<CountedJump> session, SampleTime at)
    {
        if (landing.Jump.Form == rule.Form
            && Symmetry.OfLandings(session, rule.Form, rule.FewestPerLeg) is { } symmetry
            && AsymmetryChange.Of(_earlierPercent, symmetry.SymmetryIndexPercent, rule.Options, Symmetry.ErrorOfLandingsPercent(session, rule.Form) ?? 0) is { } change)
        {
            var point = Point("symmetry");
            point.Set(Math.Abs(change.SeenPercent) > (point.Holds ? rule.ClearShare : 1) * change.NeededPercent, at, new(
                $"Symmetry index of landing shock {Text(symmetry.SymmetryIndexPercent)} per cent; her own {Text(change.BaselinePercent)}, change needed {Text(change.NeededPercent)}.",
                symmetry.SymmetryIndexPercent, change.NeededPercent, [landing.Jump.Id]));
        }
    }

    public override void SessionEnded(IReadOnlyList<CountedJump> session, SampleTime at)
    {
        foreach (var point in Points)
        {
            point.Set(false, at);
        }

        if (Symmetry.OfLandings(session, rule.Form, rule.FewestPerLeg) is { } symmetry)
        {
            _earlierPercent.Add(symmetry.SymmetryIndexPercent);
            if (_earlierPercent.Count > SessionSymmetry.Remembered)
            {
                _earlierPercent.RemoveAt(0);
            }
        }
    }
}

/// <summary>Compares a sensor's figures with a limit and its deadband.</summary>
internal sealed class SensorWatch(SensorRule rule, AthleteId athlete, Journal journal) : Watch(rule, athlete, journal)
{
    private readonly HashSet<SensorId> _raised = [];

    public override void Reported(SensorReport report, SampleTime at)
    {
        if (report.Kind != rule.Kind)
        {
            return;
        }

        // Battery is bad when low, all others when high: compared with the sign turned.
        var sign = rule.Kind == SensorFaultKind.Battery ? -1 : 1;
        var beyond = sign * (report.Value - rule.RaiseAt);
        var holds = beyond >= 0 || (_raised.Contains(report.Sensor) && beyond >= -rule.Deadband);
        _ = holds ? _raised.Add(report.Sensor) : _raised.Remove(report.Sensor);
        Point(report.Sensor.Value).Set(holds, at, new(
            $"Sensor {report.Sensor.Value}, {What(rule.Kind)} {Tenths(report.Value)} {Unit(rule.Kind)}; limit {Text(rule.RaiseAt)} {Unit(rule.Kind)}.", report.Value, rule.RaiseAt, []));
    }

    private static string What(SensorFaultKind kind) => kind switch
    {
        SensorFaultKind.Silent => "silent for",
        SensorFaultKind.Battery => "battery at",
        SensorFaultKind.Clipped => "at its rail in",
        SensorFaultKind.Clock => "clock uncertain by",
        _ => "samples lost:",
    };

    private static string Unit(SensorFaultKind kind) => kind switch
    {
        SensorFaultKind.Silent => "s",
        SensorFaultKind.Battery or SensorFaultKind.Loss => "%",
        SensorFaultKind.Clipped => "% of the landings",
        _ => "ms",
    };
}

namespace Saltograph.Load;

/// <summary>All rules of a hall, and what holds for all of them.</summary>
public sealed record WarningRules
{
    /// <summary>The rules, 0 to 100.</summary>
    public IReadOnlyList<WarningRule> Rules { get; init; } = [];

    /// <summary>How landings are told apart.</summary>
    public LandingClassOptions Landings { get; init; } = new();

    /// <summary>A pause after which the next jump begins a new session, s, 300 to 43200; default 2700.</summary>
    public double SessionGapS { get; init; } = 2700;

    /// <summary>Longest shelving, s, 60 to 604800; default 86400.</summary>
    public double LongestShelvingS { get; init; } = 86_400;

    /// <summary>Announcements of one channel within <see cref="FloodWindowS"/> above which they are grouped, 1 to 1000; default 10 (common practice in process plants, from memory).</summary>
    public int FloodAnnouncements { get; init; } = 10;

    /// <summary>Window of the flood count, s, 10 to 3600; default 600.</summary>
    public double FloodWindowS { get; init; } = 600;

    /// <summary>Rules to start with, one of each kind. The numbers are proposals: licensed staff decide.</summary>
    public static WarningRules Proposed { get; } = new()
    {
        Rules =
        [
            new LandingCountRule { Id = "hard-landings", Priority = WarningPriority.High, ReAlarmAfterS = 600 },
            new ShockRiseRule { Id = "shock-rise", Priority = WarningPriority.Medium },
            new LimitRule { Id = "plan", Priority = WarningPriority.Medium, Source = LimitSource.Plan },
            new LimitRule { Id = "return-to-play", Priority = WarningPriority.High, Source = LimitSource.ReturnToPlay },
            new FatigueRule { Id = "fatigue" },
            new AsymmetryRule { Id = "asymmetry" },
            new SensorRule { Id = "sensor-silent", Kind = SensorFaultKind.Silent, RaiseAt = 10 },
            new SensorRule { Id = "sensor-battery", Kind = SensorFaultKind.Battery, RaiseAt = 15, Deadband = 5, OnDelayS = 60 },
            new SensorRule { Id = "sensor-clipped", Kind = SensorFaultKind.Clipped, RaiseAt = 20, Deadband = 10 },
            new SensorRule { Id = "sensor-clock", Kind = SensorFaultKind.Clock, RaiseAt = 5, Deadband = 1, OnDelayS = 30 },
            new SensorRule { Id = "sensor-loss", Kind = SensorFaultKind.Loss, RaiseAt = 5, Deadband = 2, OnDelayS = 10 },
        ],
    };

    /// <summary>All that is not allowed, with the place; empty when nothing.</summary>
    public IReadOnlyList<Fault> Faults()
    {
        var list = new FaultList("");
        list.Number(SessionGapS, 300, 43_200, nameof(SessionGapS));
        list.Number(LongestShelvingS, 60, 604_800, nameof(LongestShelvingS));
        list.Number(FloodAnnouncements, 1, 1000, nameof(FloodAnnouncements));
        list.Number(FloodWindowS, 10, 3600, nameof(FloodWindowS));
        list.Number(Rules.Count, 0, 100, nameof(Rules));
        list.AddAll(Landings.Faults().Select(fault => fault with { Where = $"{nameof(Landings)}.{fault.Where}" }));
        for (var i = 0; i < Rules.Count; i++)
        {
            list.AddAll(Rules[i].Faults($"{nameof(Rules)}[{i}]."));
            if (Rules.Take(i).Any(rule => rule.Id == Rules[i].Id))
            {
                list.Add($"{nameof(Rules)}[{i}].Id", $"'{Rules[i].Id}', which an earlier rule has", "an id of its own");
            }
        }

        return list.Faults;
    }
}

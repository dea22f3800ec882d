namespace Saltograph.Load;

/// <summary>How landings are told apart, from the athlete's own history. No one number fits all sites, elements and persons.</summary>
public sealed record LandingClassOptions
{
    /// <summary>Landings of the same site, form and leg before a class is given, 10 to 200; default 20.</summary>
    public int LearningLandings { get; init; } = 20;

    /// <summary>Landings that are remembered of each site, form and leg, 50 to 2000 and at least <see cref="LearningLandings"/>; default 200. Larger follows slower.</summary>
    public int RememberedLandings { get; init; } = 200;

    /// <summary>Robust deviations above the median, on the logarithm of the shock, at which a landing is hard, 1 to 10; default 3. Widened while few are remembered (1.5 times at 20, 1.08 at 100), so that chance passes it no more often then.</summary>
    public double HardDeviationsFactor { get; init; } = 3;

    /// <summary>Share of the largest landings that is hard in any case, 0 to 0.1; default 0.01. Counted with the landing itself; acts from about 1 / share landings on.</summary>
    public double TopShare { get; init; } = 0.01;

    /// <summary>Share of landings below which one is firm at most by rank, 0.5 to 0.99; default 0.90.</summary>
    public double FirmShare { get; init; } = 0.90;

    /// <summary>Standard error of an ankle's shock, g, 0 to 20; default 0.63 (SD of 2 g with a reliability of 0.90; an assumption until the hall has its own).</summary>
    public double AnkleErrorG { get; init; } = 0.63;

    /// <summary>Standard error of the trunk's shock, g, 0 to 20; default 0.10 (SD of 0.33 g, Fallon and others 2023, with an assumed reliability of 0.90).</summary>
    public double TrunkErrorG { get; init; } = 0.10;

    /// <summary>Ankle shock from which a landing is hard whatever the history, g, 1 to 400; null (default) for none. Staff set it.</summary>
    public double? AnkleCapG { get; init; }

    /// <summary>Trunk shock from which a landing is hard whatever the history, g, 1 to 400; null (default) for none. Staff set it.</summary>
    public double? TrunkCapG { get; init; }

    /// <summary>All that is not allowed; empty when nothing.</summary>
    public IReadOnlyList<Fault> Faults()
    {
        var list = new FaultList("");
        list.Number(LearningLandings, 10, 200, nameof(LearningLandings));
        list.Number(RememberedLandings, Math.Max(50, LearningLandings), 2000, nameof(RememberedLandings));
        list.Number(HardDeviationsFactor, 1, 10, nameof(HardDeviationsFactor));
        list.Number(TopShare, 0, 0.1, nameof(TopShare));
        list.Number(FirmShare, 0.5, 0.99, nameof(FirmShare));
        list.Number(AnkleErrorG, 0, 20, nameof(AnkleErrorG));
        list.Number(TrunkErrorG, 0, 20, nameof(TrunkErrorG));
        list.Number(AnkleCapG, 1, 400, nameof(AnkleCapG));
        list.Number(TrunkCapG, 1, 400, nameof(TrunkCapG));
        return list.Faults;
    }

    /// <summary>Refuses what is not allowed.</summary>
    /// <exception cref="ArgumentException">Names each option, what was found and what is allowed.</exception>
    public void Validate()
    {
        var list = new FaultList("");
        list.AddAll(Faults());
        list.Throw();
    }
}

namespace Saltograph.Load;

/// <summary>When a change inside a session, or of a side, counts as more than error.</summary>
/// <remarks>The standard errors should come from repeated measurements in the own hall. The defaults are starting values without such a source.</remarks>
public sealed record FatigueOptions
{
    /// <summary>Fewest jumps of one element, 6 to 300; default 15, five in each third.</summary>
    public int FewestJumps { get; init; } = 15;

    /// <summary>Standard error of a height, m, 0 to 0.2; default 0.009 (5 ms at each event and 0.5 s of flight, by arithmetic).</summary>
    public double HeightErrorM { get; init; } = 0.009;

    /// <summary>Standard error of a contact time, s, 0 to 0.2; default 0.007 (5 ms at each event, by arithmetic).</summary>
    public double ContactTimeErrorS { get; init; } = 0.007;

    /// <summary>Standard error of an ankle's shock, g, 0 to 20; default 0.63 (SD of 2 g with a reliability of 0.90; an assumption).</summary>
    public double ShockErrorG { get; init; } = 0.63;

    /// <summary>Fewest earlier sessions for a baseline of symmetry, 3 to 100; default 5.</summary>
    public int FewestSessions { get; init; } = 5;

    /// <summary>Standard error of a session's symmetry index, per cent, 0 to 100; default 4 (an assumption).</summary>
    public double SymmetryErrorPercent { get; init; } = 4;

    /// <summary>Standard error of one measure, in its unit.</summary>
    public double ErrorOf(ChangeMeasure measure) => measure switch
    {
        ChangeMeasure.Height => HeightErrorM,
        ChangeMeasure.ContactTime => ContactTimeErrorS,
        _ => ShockErrorG,
    };

    /// <summary>All that is not allowed; empty when nothing.</summary>
    public IReadOnlyList<Fault> Faults()
    {
        var list = new FaultList("");
        list.Number(FewestJumps, 6, 300, nameof(FewestJumps));
        list.Number(HeightErrorM, 0, 0.2, nameof(HeightErrorM));
        list.Number(ContactTimeErrorS, 0, 0.2, nameof(ContactTimeErrorS));
        list.Number(ShockErrorG, 0, 20, nameof(ShockErrorG));
        list.Number(FewestSessions, 3, 100, nameof(FewestSessions));
        list.Number(SymmetryErrorPercent, 0, 100, nameof(SymmetryErrorPercent));
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

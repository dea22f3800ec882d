namespace Saltograph.Load;

/// <summary>The sides in one training, and against her own earlier trainings.</summary>
/// <param name="Sides">Landing shocks of this training; null with too few landings on a side.</param>
/// <param name="Earlier">Trainings before it whose sides are known, the last <see cref="Remembered"/> of them.</param>
/// <param name="Change">Against those; null when the sides are, or with too few earlier trainings.</param>
public sealed record SessionSymmetry(Symmetry? Sides, int Earlier, AsymmetryChange? Change)
{
    /// <summary>How many earlier trainings count at most: about seven weeks of four.</summary>
    public const int Remembered = 28;

    /// <summary>Judges trainings of one athlete, each by those before it.</summary>
    /// <param name="trainings">Jumps of each training, oldest first.</param>
    /// <param name="rule">Form, fewest landings, fewest trainings and error.</param>
    public static IReadOnlyList<SessionSymmetry> Of(IEnumerable<IReadOnlyCollection<CountedJump>> trainings, AsymmetryRule rule)
    {
        ArgumentNullException.ThrowIfNull(trainings);
        ArgumentNullException.ThrowIfNull(rule);
        var (known, judged) = (new List<double>(), new List<SessionSymmetry>());
        foreach (var jumps in trainings)
        {
            double[] earlier = [.. known.TakeLast(Remembered)];
            var sides = Symmetry.OfLandings(jumps, rule.Form, rule.FewestPerLeg);
            var change = sides is { } now
                ? AsymmetryChange.Of(earlier, now.SymmetryIndexPercent, rule.Options, Symmetry.ErrorOfLandingsPercent(jumps, rule.Form) ?? 0)
                : null;
            judged.Add(new(sides, earlier.Length, change));
            if (sides is not null)
            {
                known.Add(sides.Value.SymmetryIndexPercent);
            }
        }

        return judged;
    }
}

using Saltograph.Imu;
using Saltograph.Simulator.Truth;

namespace Saltograph.Simulator.Session;

/// <summary>One gymnast's finished recording and truth.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="SkillFraction">0 (novice) to 1 (expert).</param>
/// <param name="Samples">Trunk, left ankle, right ankle; times on the common time base (with its error).</param>
/// <param name="Jumps">Every jump.</param>
/// <param name="Distractors">Every stretch in which nothing may be counted.</param>
public sealed record SimulatedAthlete(
    AthleteId Athlete, double SkillFraction, IReadOnlyList<IReadOnlyList<ImuSample>> Samples, IReadOnlyList<TruthJump> Jumps,
    IReadOnlyList<TruthDistractor> Distractors)
{
    /// <summary>The samples of one site.</summary>
    public IReadOnlyList<ImuSample> At(Site site) => Samples[(int)site];
}

/// <summary>Finished recordings of simulated gymnasts with known truth.</summary>
public static class SimulatedSession
{
    private static readonly string[] Pseudonyms = ["amsel", "birke", "cirrus", "distel", "esche", "falter", "ginster", "hasel"];

    /// <summary>Pseudonym of gymnast <paramref name="index"/>: an invented name, numbered from the ninth on.</summary>
    public static AthleteId PseudonymOf(int index) => new(
        index < Pseudonyms.Length ? Pseudonyms[index] : FormattableString.Invariant($"{Pseudonyms[index % Pseudonyms.Length]}-{index / Pseudonyms.Length}"));

    /// <summary>Simulates every gymnast from 0 to the end of the element that is danced at the duration.</summary>
    public static IReadOnlyList<SimulatedAthlete> Simulate(SimulationOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        var athletes = new SimulatedAthlete[options.AthleteCount];
        for (var i = 0; i < athletes.Length; i++)
        {
            var simulation = new AthleteSimulation(options, i, PseudonymOf(i));
            List<ImuSample>[] samples = [[], [], []];
            simulation.Produce(options.DurationS, samples);
            simulation.Produce(simulation.Finish(), samples);
            athletes[i] = new(simulation.Athlete, simulation.SkillFraction, samples, simulation.Jumps, simulation.Distractors);
        }

        return athletes;
    }
}

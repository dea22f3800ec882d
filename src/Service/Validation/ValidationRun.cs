using Saltograph.Imu;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Validation;

/// <summary>One condition and what came out under it.</summary>
/// <param name="Group">What is varied, of <see cref="ValidationGroups"/>.</param>
/// <param name="Name">The value of it.</param>
/// <param name="Score">Jumps found and missed, with their errors.</param>
internal sealed record ValidatedCondition(string Group, string Name, TrialScore Score);

/// <summary>All that a report tells.</summary>
/// <param name="Plan">What was simulated.</param>
/// <param name="Conditions">In the order of the plan.</param>
/// <param name="Recorded">Sets of recorded data.</param>
internal sealed record ValidationResult(ValidationPlan Plan, IReadOnlyList<ValidatedCondition> Conditions, IReadOnlyList<RecordedSet> Recorded)
{
    /// <summary>As worn in the hall: three sensors, default rate and ranges.</summary>
    public TrialScore AsWorn => Conditions[0].Score;

    /// <summary>The conditions of a group.</summary>
    public IEnumerable<ValidatedCondition> Of(string group) => Conditions.Where(condition => condition.Group == group);
}

/// <summary>Simulates and measures.</summary>
internal static class ValidationRun
{
    /// <summary>Runs the plan and measures the recorded sets under the folder, if there is one.</summary>
    public static ValidationResult Run(ValidationPlan plan, string? dataFolder, WorkProgress progress)
    {
        var conditions = new List<ValidatedCondition>();
        var total = plan.Conditions().Sum(condition => condition.Trainings * condition.LengthS * Cost(condition.Sensors.SampleRateHz));
        var done = 0.0;
        foreach (var (group, name, sensors, trainings, lengthS) in plan.Conditions())
        {
            var worn = group == ValidationGroups.Worn ? ValidationPlan.Worn : [(name, ValidationPlan.Worn[0].Sites)];
            var scored = worn.Select(each => new ValidatedCondition(group, each.Name, new())).ToList();
            conditions.AddRange(scored);
            IReadOnlyList<(Site[], TrialScore)> sites = [.. worn.Select((each, i) => (each.Sites, scored[i].Score))];
            for (var i = 0; i < trainings; i++)
            {
                SimulatedTrial.Run(new() { Seed = plan.FirstSeed + (ulong)i, DurationS = lengthS, Sensors = sensors }, sites);
                done += lengthS * Cost(sensors.SampleRateHz);
                progress.Share = done / total;
            }
        }

        return new(plan, conditions, dataFolder is null ? [] : RecordedSets.Measure(dataFolder));
    }

    // Below 400 Hz the movement itself, at 1600 Hz, is most of the work.
    private static double Cost(double sampleRateHz) => Math.Max(1, sampleRateHz / 400);
}

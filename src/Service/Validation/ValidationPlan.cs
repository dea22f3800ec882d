using Saltograph.Imu;
using Saltograph.Simulator.Sensors;

namespace Saltograph.Service.Validation;

/// <summary>What is simulated.</summary>
internal sealed record ValidationPlan
{
    /// <summary>First seed of the trainings; one with three digits or fewer served for choosing in some tests.</summary>
    public ulong FirstSeed { get; init; } = 7001;

    /// <summary>Trainings as worn in the hall, each by a gymnast of her own.</summary>
    public int Trainings { get; init; } = 8;

    /// <summary>Length of each, s.</summary>
    public double TrainingS { get; init; } = 300;

    /// <summary>Trainings for each other sample rate and range.</summary>
    public int SweepTrainings { get; init; } = 4;

    /// <summary>Length of each, s.</summary>
    public double SweepS { get; init; } = 150;

    /// <summary>Sample rates, Hz.</summary>
    public IReadOnlyList<double> RatesHz { get; init; } = [100, 200, 416, 833, 1000];

    /// <summary>Ranges of all accelerometers, g.</summary>
    public IReadOnlyList<double> RangesG { get; init; } = [4, 8, 16, 32, 200];

    /// <summary>Ranges of all gyroscopes, deg/s.</summary>
    public IReadOnlyList<double> GyroscopeRangesDps { get; init; } = [500, 1000, 2000, 4000];

    /// <summary>Some seconds of work, for a first look: the figures scatter.</summary>
    public static ValidationPlan Quick => new()
    {
        Trainings = 2,
        TrainingS = 100,
        SweepTrainings = 1,
        SweepS = 40,
        RatesHz = [100, 416, 1000],
        RangesG = [8, 32],
        GyroscopeRangesDps = [500, 2000],
    };

    /// <summary>Which sensors are worn, from all to the trunk alone; measured on the same packets.</summary>
    public static IReadOnlyList<(string Name, Site[] Sites)> Worn { get; } =
    [
        ("all three", [Site.Trunk, Site.AnkleLeft, Site.AnkleRight]),
        ("no right ankle", [Site.Trunk, Site.AnkleLeft]),
        ("no left ankle", [Site.Trunk, Site.AnkleRight]),
        ("trunk only", [Site.Trunk]),
    ];

    /// <summary>Every simulation that is needed: what it is for, and with which sensors.</summary>
    public IEnumerable<(string Group, string Name, SensorOptions Sensors, int Trainings, double LengthS)> Conditions()
    {
        yield return (ValidationGroups.Worn, "", new(), Trainings, TrainingS);
        foreach (var rateHz in RatesHz)
        {
            yield return (ValidationGroups.Rate, FormattableString.Invariant($"{rateHz:0} Hz"), new() { SampleRateHz = rateHz }, SweepTrainings, SweepS);
        }

        foreach (var rangeG in RangesG)
        {
            yield return (ValidationGroups.Range, FormattableString.Invariant($"{rangeG:0} g"), new() { TrunkRangeG = rangeG, AnkleRangeG = rangeG }, SweepTrainings, SweepS);
        }

        foreach (var rangeDps in GyroscopeRangesDps)
        {
            yield return (ValidationGroups.GyroscopeRange, FormattableString.Invariant($"{rangeDps:0} deg/s"), new() { GyroscopeRangeDps = rangeDps }, SweepTrainings, SweepS);
        }
    }
}

/// <summary>What is varied.</summary>
internal static class ValidationGroups
{
    public const string Worn = "Missing sensors";
    public const string Rate = "Sample rate";
    public const string Range = "Accelerometer range";
    public const string GyroscopeRange = "Gyroscope range";
}

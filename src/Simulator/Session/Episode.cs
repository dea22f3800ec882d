using Saltograph.Imu;

namespace Saltograph.Simulator.Session;

/// <summary>Something out of the ordinary that happens to one gymnast for a while. What begins inside of it, an element or a landing, is of it.</summary>
public abstract record Episode
{
    private protected Episode()
    {
    }

    /// <summary>Which gymnast, from 0; below <see cref="SimulationOptions.AthleteCount"/>.</summary>
    public required int AthleteIndex { get; init; }

    /// <summary>Begin, s on the true time base. 0 to 86 400.</summary>
    public required double FromS { get; init; }

    /// <summary>End, s. Above <see cref="FromS"/>, to 86 400; default 86 400.</summary>
    public double ToS { get; init; } = 86_400;

    internal bool Holds(double timeS) => timeS >= FromS && timeS < ToS;

    internal IEnumerable<string> Faults(string where, int athletes)
    {
        if (AthleteIndex < 0 || AthleteIndex >= athletes)
        {
            yield return $"{where}.AthleteIndex {AthleteIndex} must be inside 0 to {athletes - 1}.";
        }

        if (!(FromS is >= 0 and <= 86_400))
        {
            yield return FormattableString.Invariant($"{where}.FromS {FromS} must be inside 0 to 86400.");
        }

        if (!(ToS > FromS && ToS <= 86_400))
        {
            yield return FormattableString.Invariant($"{where}.ToS {ToS} must be above FromS, {FromS}, to 86400.");
        }

        foreach (var (key, value, low, high) in Numbers())
        {
            if (!(value >= low && value <= high))
            {
                yield return FormattableString.Invariant($"{where}.{key} {value} must be inside {low} to {high}.");
            }
        }

        if (Foot is Site.Trunk || (Foot is { } foot && !Enum.IsDefined(foot)))
        {
            yield return $"{where}.LandsOn {Foot} must be AnkleLeft, AnkleRight or null.";
        }
    }

    private protected virtual Site? Foot => null;

    private protected virtual IEnumerable<(string Key, double Value, double Low, double High)> Numbers() => [];
}

/// <summary>She repeats one element: single split leaps with half a turn, each after a pause, and nothing else.</summary>
public sealed record Drill : Episode
{
    /// <summary>Foot that lands; null (default): one after the other.</summary>
    public Site? LandsOn { get; init; }

    /// <summary>Quiet standing before each leap, s; drawn between 0.7 and 1.3 of it. 0 to 3600; default 10. A leap with run-up and recovery takes about 5 s more.</summary>
    public double RestS { get; init; } = 10;

    private protected override Site? Foot => LandsOn;

    private protected override IEnumerable<(string Key, double Value, double Low, double High)> Numbers() => [(nameof(RestS), RestS, 0, 3600)];
}

/// <summary>She comes down stiffly: the foot that lands stops in a shorter time and at once, so that its shock is larger. Landings on both feet stay as they are when a foot is named.</summary>
public sealed record StiffLandings : Episode
{
    /// <summary>Foot that is concerned; null (default): both.</summary>
    public Site? LandsOn { get; init; }

    /// <summary>Duration of the foot's stop over the one it would have had. 0.2 to 1; default 0.5. Strap and soft tissue bound how far the shock follows.</summary>
    public double StopShare { get; init; } = 0.5;

    /// <summary>Downward speed of the foot at contact over the one it would have had: the leg is thrust down. 1 to 2; default 1. The shock follows it nearly.</summary>
    public double ThrustFactor { get; init; } = 1;

    private protected override Site? Foot => LandsOn;

    private protected override IEnumerable<(string Key, double Value, double Low, double High)> Numbers() =>
        [(nameof(StopShare), StopShare, 0.2, 1), (nameof(ThrustFactor), ThrustFactor, 1, 2)];
}

/// <summary>She tires: flights become shorter, evenly from the begin to the end; after it she is rested.</summary>
public sealed record Tiring : Episode
{
    /// <summary>Share of the flight time that is lost at the end. 0 to 0.6; default 0.25. No flight becomes shorter than 0.24 s.</summary>
    public double FlightLossShare { get; init; } = 0.25;

    private protected override IEnumerable<(string Key, double Value, double Low, double High)> Numbers() => [(nameof(FlightLossShare), FlightLossShare, 0, 0.6)];
}

/// <summary>A sensor is dead: nothing comes from it; when the episode ends it powers up anew.</summary>
public sealed record DeadSensor : Episode
{
    /// <summary>Which of her sensors.</summary>
    public required Site Site { get; init; }

    /// <summary>Time before the begin over which the charge that its packets tell runs down to 0, evenly, s. 0 to 86 400; default 0: it dies unannounced.</summary>
    public double RunsDownS { get; init; }

    private protected override IEnumerable<(string Key, double Value, double Low, double High)> Numbers() =>
        [(nameof(RunsDownS), RunsDownS, 0, 86_400), (nameof(Site), (int)Site, 0, Sites.Count - 1)];
}

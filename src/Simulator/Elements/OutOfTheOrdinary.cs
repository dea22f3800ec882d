using Saltograph.Imu;
using Saltograph.Simulator.Motion;
using Saltograph.Simulator.Session;

namespace Saltograph.Simulator.Elements;

/// <summary>What episodes change. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    private const double ShortestFlightS = 0.24; // as the shortest drawn

    private int _drilled;

    /// <summary>Repeats the element of a drill; false when there is none now.</summary>
    public bool Drills()
    {
        if (Holding<Drill>() is not { } drill)
        {
            return false;
        }

        if (drill.RestS > 0)
        {
            StandStill(Random.Between(0.7, 1.3) * drill.RestS);
        }

        var lands = drill.LandsOn is { } foot ? FootOf(foot) : _drilled++ % 2;
        Leaps(1, push: 1 - lands, isDrill: true);
        return true;
    }

    private double HalfTurnRad() => Random.Sign() * Random.Around(180, 25) * Angles.RadPerDeg;

    private double Tired(double flightS) => Holding<Tiring>() is { } tiring
        ? Math.Max(ShortestFlightS, flightS * (1 - (tiring.FlightLossShare * (NowS - tiring.FromS) / (tiring.ToS - tiring.FromS))))
        : flightS;

    /// <summary>The whole speed is taken at once, in a shorter time and with the heel lower: a stop in two halves would lose in height what it wins in time.</summary>
    private FootStop Stiffened(in FootStop stop, int? foot) =>
        StiffOn(foot) is { } stiff
            ? new(Math.Max(0.012, stiff.StopShare * stop.HeelM), stiff.StopShare * stop.BrakeS, 1 - (stiff.StopShare * (1 - stop.Share)), stop.HeelBrakeS)
            : stop;

    private LaunchPlan Thrust(LaunchPlan plan, int? foot) =>
        StiffOn(foot) is { } stiff ? plan with { LandingFallShare = stiff.ThrustFactor * plan.LandingFallShare } : plan;

    private StiffLandings? StiffOn(int? foot) =>
        Holding<StiffLandings>() is { } stiff && (stiff.LandsOn is not { } named || FootOf(named) == foot) ? stiff : null;

    private static int FootOf(Site ankle) => ankle == Site.AnkleLeft ? 0 : 1;

    private T? Holding<T>()
        where T : Episode
    {
        foreach (var episode in Episodes)
        {
            if (episode is T wanted && wanted.Holds(NowS))
            {
                return wanted;
            }
        }

        return null;
    }
}

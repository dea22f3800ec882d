using Saltograph.Imu;

namespace Saltograph.Simulator.Elements;

/// <summary>The check of the sensors before training. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    /// <summary>Stands still, rises on the toes of both feet and comes down, stands, and lifts the left foot.</summary>
    public void CheckSensors()
    {
        var start = NowS;
        Stand(Random.Between(4, 5));
        RiseOnToes(Random.Between(0.05, 0.08));
        Stand(Random.Between(1.6, 2.2));
        LiftLeftFoot();
        Stand(Random.Between(1.6, 2.2));
        Distractor(DistractorKind.SensorCheck, start);
    }

    private void RiseOnToes(double riseM)
    {
        var up = NowS + LongEnough(Random.Between(0.5, 0.8), riseM, 0.6);
        var held = up + Random.Between(0.2, 0.5);
        var down = held + LongEnough(Random.Between(0.5, 0.8), -riseM, 0.6);
        var high = new Vector3D(0, 0, riseM);
        for (var leg = 0; leg < 2; leg++)
        {
            var foot = Floor.AnkleEnd(leg);
            Floor.FootTo(leg, NowS, foot);
            Floor.FootTo(leg, up, foot + high);
            Floor.FootTo(leg, held, foot + high);
            Floor.FootTo(leg, down, foot);
        }

        var place = BetweenFeet;
        Floor.HeadingTo(down, Floor.Heading);
        Floor.UpperTo(down, _postureLean, 0, 0.12, 0);
        GoOver(up, place, Floor.StandingPelvisM + riseM);
        GoOver(held, place, Floor.StandingPelvisM + riseM);
        GoOver(down, place, Floor.StandingPelvisM);
    }

    private void LiftLeftFoot()
    {
        var foot = Floor.AnkleEnd(1);
        var over = NowS + Random.Between(0.7, 1);
        var lifted = over + Random.Between(0.6, 0.9);
        var held = lifted + Random.Between(0.3, 0.7);
        Floor.HeadingTo(held, Floor.Heading);
        Floor.UpperTo(held, _postureLean, 0, 0.3, 0);
        GoOver(over, foot, Floor.StandingPelvisM - 0.01);
        var hip = Random.Between(0.6, 1);
        GoOver(lifted, foot, Floor.StandingPelvisM - 0.01, () =>
        {
            Floor.LiftFoot(0, over + 0.25, 0.2, 0.04, 0.35);
            Floor.SwingTo(0, lifted, new(hip), new(0), new(0), new(1.8 * hip));
        });
        Floor.SwingTo(0, held, new(hip), new(0), new(0), new(1.8 * hip));
        GoOver(held, foot, Floor.StandingPelvisM - 0.01);
        CloseFeet(0, 0.8);
    }
}

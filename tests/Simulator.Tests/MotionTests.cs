using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Elements;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Tests;

/// <summary>The movement obeys mechanics: checked on many drawn jumps of every form.</summary>
public sealed class MotionTests
{
    internal static Performer Dance(ulong seed, int rounds)
    {
        var random = new Pcg32(seed, 1);
        var skill = random.Unit();
        var performer = new Performer(new BodyModel(random.Between(30, 60), random.Between(1.35, 1.72)), skill, random, 0);
        performer.StandStill(3);
        for (var i = 0; i < rounds; i++)
        {
            performer.Leaps(1 + (i % 3));
            performer.StandStill(1);
            performer.TwoFootJump();
            performer.Hop();
            performer.StandStill(1);
            performer.Assemble();
            performer.Walk(4);
            performer.Sissonne();
            performer.Run(4);
            performer.Pirouette();
            performer.Squat(i % 2 == 0);
        }

        return performer;
    }

    [Fact]
    public void The_centre_of_mass_falls_freely_in_flight()
    {
        foreach (var (movement, jump) in AllJumps())
        {
            var h = 0.004;
            for (var t = jump.TakeoffS + (2 * h); t < jump.LandingS - (2 * h); t += 0.01)
            {
                // From the point masses of the posed body, not from the planned parabola.
                var acceleration = (Centre(movement, t - h) - (2 * Centre(movement, t)) + Centre(movement, t + h)) / (h * h);
                Assert.True((acceleration - new Vector3D(0, 0, -Gravity.StandardMps2)).Length < 1e-6, $"{acceleration} at {t}");
            }
        }
    }

    [Fact]
    public void Angular_momentum_about_the_vertical_is_constant_in_flight()
    {
        foreach (var (movement, jump) in AllJumps())
        {
            for (var t = jump.TakeoffS + 0.005; t < jump.LandingS - 0.005; t += 0.0073)
            {
                // 5e-4 kg m2/s on an inertia of 0.3 to 4 kg m2 is below 0.1 deg/s; it arises where a joint's jerk jumps.
                var error = Math.Abs(Momentum(movement, t) - jump.Flight.AngularMomentumKgM2ps);
                Assert.True(error < 5e-4, $"{error} at {t - jump.TakeoffS} s of {jump.Flight.LandingS - jump.TakeoffS}");
            }
        }
    }

    [Theory]
    [InlineData(0.002)]
    [InlineData(0.01)]
    public void However_short_a_support_is_wanted_the_feet_come_to_rest_before_the_next_take_off(double supportS)
    {
        var floor = new Choreography(new BodyModel(45, 1.6), new Pcg32(1, 1));
        var launcher = new Launcher(floor);
        var leg = new LegPlan { Pushes = true, Lands = true, Keys = [new(0.5, 0.1, 0, 0, 0.25)], Stop = FootStop.Soft };
        var plan = new LaunchPlan
        {
            Left = leg,
            Right = leg,
            SupportS = 0.6,
            FlightS = 0.4,
            TakeoffAheadM = 0,
            TakeoffUpper = new(0, 0, 0, 0.5, 0),
            LandingUpper = new(1, 0, 0, 0.5, 0),
        };
        _ = launcher.Launch(plan);
        var restS = floor.Movement.Legs.Max(tracks => tracks.AnkleZ.EndS);
        var next = launcher.Launch(plan with { SupportS = supportS });
        Assert.True(next.TakeoffS > restS, $"take-off {next.TakeoffS}, at rest {restS}");
    }

    [Fact]
    public void Place_and_velocity_of_the_pelvis_and_the_ankles_never_jump()
    {
        var performer = Dance(11, 2);
        const double h = 2.5e-4;
        var previous = new Vector3D[3];
        var worst = 0.0;
        var where = 0.0;
        for (var t = 1.0; t < performer.NowS - 1; t += h)
        {
            var points = Sites(performer.Movement.At(t - h));
            var middle = Sites(performer.Movement.At(t));
            var next = Sites(performer.Movement.At(t + h));
            for (var i = 0; i < 3; i++)
            {
                var acceleration = (points[i] - (2 * middle[i]) + next[i]) / (h * h);
                if (t > 1.001)
                {
                    var change = (acceleration - previous[i]).Length / h;
                    if (change > worst)
                    {
                        worst = change;
                        where = t;
                    }
                }

                previous[i] = acceleration;
            }
        }

        // A jump of 0.1 mm would show as 6 000 000 m/s3, one of 0.03 m/s as 480 000; a shock of 200 m/s2 in 10 ms is 60 000.
        Assert.True(worst < 400_000, $"jerk {worst} m/s3 at {where} s");
        static Vector3D[] Sites(Pose pose) => [pose.Pelvis, pose.Left.Ankle, pose.Right.Ankle];
    }

    [Fact]
    public void The_floor_pushes_and_never_pulls()
    {
        // Vertical force of the floor over the body's weight = 1 + acceleration of the centre of mass / g.
        const double h = 0.003;
        var (instants, pulled, least, most) = (0, 0, 0.0, 0.0);
        for (var seed = 21UL; seed <= 26; seed++)
        {
            var performer = Dance(seed, 1);
            var movement = performer.Movement;
            for (var t = 0.5; t < performer.NowS - 0.5; t += 0.002)
            {
                if (movement.FlightAt(t - (2 * h)) is null && movement.FlightAt(t + (2 * h)) is null)
                {
                    var force = 1 + ((movement.CentreAt(t - h) - (2 * movement.CentreAt(t)) + movement.CentreAt(t + h)).Z / (h * h * Gravity.StandardMps2));
                    instants++;
                    pulled += force < -0.05 ? 1 : 0;
                    least = Math.Min(least, force);
                    most = Math.Max(most, force);
                }
            }
        }

        // What is left below zero are some milliseconds where the landing foot's stop meets the planned force.
        Assert.True(pulled < 0.002 * instants, $"{pulled} of {instants}");
        Assert.InRange(least, -1.1, 0);
        Assert.InRange(most, 3, 9);
    }

    internal static IEnumerable<(Movement Movement, Launched Jump)> AllJumps()
    {
        for (var seed = 1UL; seed <= 12; seed++)
        {
            var performer = Dance(seed, 1);
            foreach (var jump in performer.Jumps)
            {
                yield return (performer.Movement, jump.Launched);
            }
        }
    }

    internal static Vector3D Centre(Movement movement, double t)
    {
        Span<Vector3D> points = stackalloc Vector3D[Posture.PointCount];
        Span<double> masses = stackalloc double[Posture.PointCount];
        _ = movement.PointsAt(t, points, masses);
        var sum = Vector3D.Zero;
        var mass = 0.0;
        for (var i = 0; i < points.Length; i++)
        {
            sum += masses[i] * points[i];
            mass += masses[i];
        }

        return sum / mass;
    }

    private static double Momentum(Movement movement, double t)
    {
        const double h = 1e-4;
        var count = Posture.PointCount;
        Span<Vector3D> before = stackalloc Vector3D[count];
        Span<Vector3D> now = stackalloc Vector3D[count];
        Span<Vector3D> after = stackalloc Vector3D[count];
        Span<double> masses = stackalloc double[count];
        _ = movement.PointsAt(t - h, before, masses);
        _ = movement.PointsAt(t + h, after, masses);
        var slender = movement.PointsAt(t, now, masses);
        var centre = Centre(movement, t);
        var velocity = (Centre(movement, t + h) - Centre(movement, t - h)) / (2 * h);
        var sum = slender * (movement.HeadingAt(t + h) - movement.HeadingAt(t - h)) / (2 * h);
        for (var i = 0; i < count; i++)
        {
            var r = now[i] - centre;
            var v = ((after[i] - before[i]) / (2 * h)) - velocity;
            sum += masses[i] * Vector3D.Cross(r, v).Z;
        }

        return sum;
    }
}

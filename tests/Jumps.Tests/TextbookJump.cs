using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Jumps.Tests;

/// <summary>
/// A jump from a textbook: rest, a half-sine push, a short half-cosine unloading from one body weight to nothing, free flight, a short
/// loading, a half-sine landing, rest. The body is one point: flight time, velocity and height follow from each other.
/// </summary>
internal sealed record TextbookJump
{
    public double FlightTimeS { get; init; } = 0.5;

    public double PushOffS { get; init; } = 0.3;

    public double LandingS { get; init; } = 0.2;

    public double UnloadingS { get; init; } = 0.03;

    public double LoadingS { get; init; } = 0.01;

    public double RestS { get; init; } = 2.5;

    public double SampleRateHz { get; init; } = 500;

    /// <summary>Turn about the vertical all along, rad/s.</summary>
    public double TurnRateRadps { get; init; }

    /// <summary>How the sensor sits on the body.</summary>
    public Rotation BodyFromSensor { get; init; } = Rotation.Identity;

    /// <summary>Heading at the start, rad.</summary>
    public double HeadingRad { get; init; }

    /// <summary>How much lower the body is at landing than at take-off, m.</summary>
    public double LandingDropM { get; init; }

    /// <summary>Share of the push that is really there: 0 is a fall from a height.</summary>
    public double PushShare { get; init; } = 1;

    /// <summary>Share of g that the floor carries during the "flight": above 0 it is a dip.</summary>
    public double CarriedShare { get; init; }

    public double TakeoffS => RestS + PushOffS + UnloadingS;

    public double LandingTimeS => TakeoffS + FlightTimeS;

    public IEnumerable<MotionSample> Samples()
    {
        var endS = LandingTimeS + LoadingS + LandingS + RestS;
        for (var i = 0; i / SampleRateHz < endS; i++)
        {
            var timeS = i / SampleRateHz;
            var earthFromSensor = Rotation.AboutVertical(HeadingRad + (TurnRateRadps * timeS)) * BodyFromSensor;
            var sensorFromEarth = earthFromSensor.Inverse;
            yield return new(
                SampleTime.FromSeconds(timeS),
                sensorFromEarth.Rotate(new(0, 0, SpecificForceMps2(timeS))),
                sensorFromEarth.Rotate(new(0, 0, TurnRateRadps)),
                earthFromSensor,
                SampleMarks.None);
        }
    }

    private double SpecificForceMps2(double timeS)
    {
        const double g = Gravity.StandardMps2;
        var velocity = ((g * FlightTimeS / 2) - (LandingDropM / FlightTimeS)) * (1 - CarriedShare);
        var landingVelocity = (g * FlightTimeS * (1 - CarriedShare)) - velocity;
        var shed = g * (1 - CarriedShare);
        var sincePush = timeS - RestS;
        var sinceTakeoff = timeS - TakeoffS;
        var sinceLanding = timeS - LandingTimeS;
        var sinceLoaded = sinceLanding - LoadingS;

        // The push also makes up for what the unloading takes, half of g over its length; the landing likewise.
        return sincePush < 0 ? g
            : sincePush < PushOffS ? g + (PushShare * HalfSine(velocity + (shed * UnloadingS / 2), sincePush, PushOffS))
            : sinceTakeoff < 0 ? g - (shed * (1 + Math.Cos(Math.PI * sinceTakeoff / UnloadingS)) / 2)
            : sinceLanding < 0 ? g - shed
            : sinceLoaded < 0 ? g + (shed * sinceLoaded / LoadingS)
            : sinceLoaded < LandingS ? g + HalfSine(landingVelocity + (shed * LoadingS / 2), sinceLoaded, LandingS)
            : g;
    }

    /// <summary>A half sine whose integral is the velocity: amplitude pi v / (2 D).</summary>
    private static double HalfSine(double velocityMps, double sinceS, double durationS) =>
        Math.PI * velocityMps / (2 * durationS) * Math.Sin(Math.PI * sinceS / durationS);
}

internal static class TrackerRuns
{
    public static JumpFacts Track(this TextbookJump jump, JumpOptions? options = null)
    {
        var tracker = new JumpTracker(options ?? new());
        tracker.SetSampleRate(Site.Trunk, jump.SampleRateHz);
        var facts = new JumpFacts();
        foreach (var sample in jump.Samples())
        {
            tracker.Push(Site.Trunk, sample, facts);
        }

        tracker.Complete(facts);
        return facts;
    }
}

using Saltograph.Imu;

namespace Saltograph.Load.Tests;

public sealed class ReadmeExampleTests
{
    /// <summary>The example of the project's README, line by line.</summary>
    [Fact]
    public void The_example_of_the_readme_does_what_it_says()
    {
        var athlete = Made.Athlete;
        var sensor = new SensorId("s-01");
        var (trainingBegins, dayBegins, dayEnds) = (Made.Start, Made.Start.PlusSeconds(-3600), Made.Start.PlusSeconds(40_000));

        var engine = new WarningEngine(WarningRules.Proposed);          // throws with every fault; rules.Faults() lists them
        engine.Advance(trainingBegins);                                 // time comes from calls and data only
        engine.SetLimits(new(athlete, LimitSource.Plan, dayBegins, dayEnds) { Jumps = 120, LeftLandings = 60 }, trainingBegins);

        var (landing, changes) = engine.Count(new CountedJump           // each jump, live or stored, oldest first
        {
            Id = "jump-1",                                              // event id: a second time changes nothing
            Athlete = athlete,
            LandingTime = trainingBegins.PlusSeconds(60),               // SampleTime, microseconds UTC since 1970
            Form = ElementForm.Leap,
            LandingLeg = Leg.Left,
            HeightM = 0.31,
            AnkleLeftShock = new(ShockG: 31.9, Saturated: true),        // at the rail: at least 31.9 g
        });
        var raised = changes[0];                                        // Announce: tell staff; FloodGroup: once per group
        engine.Report(new(athlete, sensor, SensorFaultKind.Battery, Value: 12, trainingBegins.PlusSeconds(61)));
        engine.Acknowledge(raised.WarningId, who: "coach-1", why: "spoken to her", trainingBegins.PlusSeconds(90));
        changes = engine.Advance(trainingBegins.PlusSeconds(600));      // once a second: returns, shelvings, delays
        var account = Accounting.Of([landing!.Jump], new())[0];         // counts and sums of today
        var month = DryRun.Of(WarningRules.Proposed, [landing.Jump]);   // how often would it have warned

        Assert.Equal(LandingClass.Saturated, landing.Class);
        Assert.Equal((WarningState.ActiveUnacknowledged, true), (raised.To, raised.Announce));
        Assert.Equal([WarningCause.Raised, WarningCause.Cleared], changes.Select(change => change.Cause));
        Assert.Equal(["sensor-battery", "hard-landings"], changes.Select(change => change.Rule), StringComparer.Ordinal);
        Assert.Equal(1, account.Jumps);
        Assert.Equal(1, month.Rules[0].Raised);
    }
}

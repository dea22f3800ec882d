using System.Globalization;
using Saltograph.Simulator.Network;

namespace Saltograph.Pipeline.Tests.Motion;

public sealed class SimulatedTrainingTests
{
    // Seeds 1 to 10 served for choosing; 1001 to 1008 and 2001 to 2008 were looked at along the way. These were first run when
    // nothing was left to choose.
    private const ulong FirstSeed = 3001;

    [Fact]
    public void Simulated_trainings_are_counted_and_measured_within_the_stated_limits()
    {
        var training = SimulatedTraining.Run(FirstSeed, seeds: 8, durationS: 300, new NetworkOptions());
        var flightMs = training.Errors((truth, measured) => 1000 * (measured.FlightTimeS - truth.FlightTimeS));
        var turnDeg = training.Errors((truth, measured) => measured.TurnFlightDeg - truth.TurnFlightDeg);
        var splitDeg = training.Errors((truth, measured) => measured.SplitAngleDeg - truth.SplitAngleDeg);
        var heightCm = training.Errors((truth, measured) => 100 * (measured.HeightM - truth.HeightM));
        var rateDps = training.Errors((truth, measured) => measured.TurnRateTakeoffDps - truth.TurnRateTakeoffDps);
        var absorptionMs = training.Errors((truth, measured) => 1000 * (measured.AbsorptionTimeS - truth.AbsorptionTimeS));
        var flightRatio = Rms(training.Errors((truth, measured) => (measured.FlightTimeS - truth.FlightTimeS) / measured.Uncertainty.FlightTimeS));
        var heightRatio = Rms(training.Errors((truth, measured) => (measured.HeightM - truth.HeightM) / measured.Uncertainty.HeightM));
        var turnRatio = Rms(training.Errors((truth, measured) => (measured.TurnFlightDeg - truth.TurnFlightDeg) / measured.Uncertainty.TurnFlightDeg));
        var splitRatio = Rms(training.Errors((truth, measured) => (measured.SplitAngleDeg - truth.SplitAngleDeg) / measured.Uncertainty.SplitAngleDeg));
        var form = training.Share((truth, measured) => string.Equals(truth.Form.ToString(), measured.Form?.ToString(), StringComparison.Ordinal));
        TestContext.Current.TestOutputHelper?.WriteLine(string.Create(CultureInfo.InvariantCulture, $"""
            {training.Asked} jumps, {training.Distractors} stretches that must not count
            recall {training.Recall:F4}, precision {training.Precision:F4}, form right {form:F3}
            flight time: median {SimulatedTraining.Percentile(flightMs, 0.5):F1} ms, p95 {SimulatedTraining.Percentile(flightMs, 0.95):F1} ms
            turn in flight: median {SimulatedTraining.Percentile(turnDeg, 0.5):F1} deg, p95 {SimulatedTraining.Percentile(turnDeg, 0.95):F1} deg
            split: median {SimulatedTraining.Percentile(splitDeg, 0.5):F1} deg, p95 {SimulatedTraining.Percentile(splitDeg, 0.95):F1} deg
            height: median {SimulatedTraining.Percentile(heightCm, 0.5):F1} cm, p95 {SimulatedTraining.Percentile(heightCm, 0.95):F1} cm
            rate at take-off: p95 {SimulatedTraining.Percentile(rateDps, 0.95):F1} deg/s; absorption time: p95 {SimulatedTraining.Percentile(absorptionMs, 0.95):F0} ms
            error over stated uncertainty: flight {flightRatio:F2}, height {heightRatio:F2}, turn {turnRatio:F2}, split {splitRatio:F2}
            {string.Join('\n', training.Remarks)}
            """));
        Assert.True(training.Asked >= 200, $"{training.Asked} jumps");
        Assert.True(training.Distractors >= 300, $"{training.Distractors} distractors");
        Assert.True(training.Recall >= 0.97, $"recall {training.Recall:F4}");
        Assert.True(training.Precision >= 0.97, $"precision {training.Precision:F4}");
        Assert.True(SimulatedTraining.Percentile(flightMs, 0.95) <= 20, "flight time");
        Assert.True(SimulatedTraining.Percentile(turnDeg, 0.95) <= 8, "turn in flight");
        Assert.True(SimulatedTraining.Percentile(heightCm, 0.5) <= 0.8, "height, median");
        Assert.True(SimulatedTraining.Percentile(heightCm, 0.95) <= 2.5, "height");
        Assert.True(SimulatedTraining.Percentile(rateDps, 0.95) <= 25, "rate at take-off");
        Assert.True(SimulatedTraining.Percentile(absorptionMs, 0.95) <= 40, "absorption time");
        Assert.All([flightRatio, heightRatio, turnRatio, splitRatio], ratio => Assert.InRange(ratio, 0.8, 1.25));
    }

    private static double Rms(double[] errors) => Math.Sqrt(errors.Average(error => error * error));
}

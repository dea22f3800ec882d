using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Simulator.Truth;

namespace Saltograph.Pipeline.Tests.Motion;

/// <summary>
/// Simulated trainings through the whole pipeline: three sensors each at 416 Hz, packets over a network with faults. What
/// was measured is set beside what happened.
/// </summary>
internal sealed class SimulatedTraining
{
    // A jump that is too short to be recorded, or so near to it that either answer is right, is neither asked for nor wrong.
    private const double AskedFromS = 0.22;
    private const double ShortestS = 0.20;

    // A sensor's clock is at most some milliseconds off, so that two flights which overlap are the same.
    private readonly List<(TruthJump Truth, JumpRecord Measured)> _pairs = [];

    public int Asked { get; private set; }

    public int Missed { get; private set; }

    public int False { get; private set; }

    public int Distractors { get; private set; }

    public List<string> Remarks { get; } = [];

    public double Recall => (Asked - Missed) / (double)Asked;

    public double Precision => _pairs.Count / (double)(_pairs.Count + False);

    public static SimulatedTraining Run(ulong firstSeed, int seeds, double durationS, NetworkOptions network, params Site[] sites)
    {
        var training = new SimulatedTraining();
        for (var seed = firstSeed; seed < firstSeed + (ulong)seeds; seed++)
        {
            training.Add(new() { Seed = seed, AthleteCount = 1, DurationS = durationS }, network, sites);
        }

        return training;
    }

    /// <summary>Sorted sizes of an error over all measured jumps; jumps without the measure are left out.</summary>
    public double[] Errors(Func<TruthJump, JumpRecord, double?> error) =>
        [.. _pairs.Select(pair => error(pair.Truth, pair.Measured)).OfType<double>().Select(Math.Abs).Order()];

    public double Share(Func<TruthJump, JumpRecord, bool> holds) => _pairs.Count(pair => holds(pair.Truth, pair.Measured)) / (double)_pairs.Count;

    public static double Percentile(double[] sorted, double share) => sorted[(int)Math.Ceiling(share * sorted.Length) - 1];

    private void Add(SimulationOptions options, NetworkOptions network, Site[] sites)
    {
        var hall = new HallSimulation(options, network);
        var worn = hall.Sensors.Where(sensor => sites.Length == 0 || sites.Contains(sensor.Site)).ToArray();
        var pipeline = new AthletePipeline(worn[0].Athlete, worn.ToDictionary(sensor => sensor.Sensor, sensor => sensor.Site), new());
        var output = new PipelineOutput();
        var jumps = new List<JumpRecord>();
        var packets = new List<SimulatedPacket>();
        for (var untilS = 10.0; untilS <= options.DurationS; untilS += 10)
        {
            packets.Clear();
            hall.Advance(untilS, packets);
            foreach (var packet in packets.Where(packet => worn.Contains(packet.Sensor)))
            {
                output.Clear();
                pipeline.Push(packet.Sensor.Sensor, packet.Bytes, hall.HallTime(packet.ReceivedS), output);
                jumps.AddRange(output.Jumps.Select(jump => jump.Jump));
            }
        }

        output.Clear();
        pipeline.Complete(output);
        jumps.AddRange(output.Jumps.Select(jump => jump.Jump));
        Compare(options, hall, jumps);
    }

    private void Compare(SimulationOptions options, HallSimulation hall, List<JumpRecord> jumps)
    {
        var athlete = hall.Athletes[0];

        // What lands in the last two seconds is not over yet when the recording ends.
        var truths = athlete.Jumps.Where(truth => truth.LandingS < options.DurationS - 2).ToArray();
        Distractors += athlete.Distractors.Count(distractor => distractor.EndS < options.DurationS);
        foreach (var truth in truths)
        {
            var found = jumps.Find(jump => jump.TakeoffTime < hall.HallTime(truth.LandingS) && jump.LandingTime > hall.HallTime(truth.TakeoffS));
            if (found is not null)
            {
                jumps.Remove(found);
                if (truth.FlightTimeS >= ShortestS)
                {
                    Asked++;
                    _pairs.Add((truth, found));
                }
            }
            else if (truth.FlightTimeS >= AskedFromS)
            {
                Asked++;
                Missed++;
                Remarks.Add(FormattableString.Invariant($"seed {options.Seed}: missed {truth.Form} at {truth.TakeoffS:F2} s, flight {truth.FlightTimeS:F3} s"));
            }
        }

        foreach (var jump in jumps.Where(jump => jump.LandingTime < hall.HallTime(options.DurationS - 2)))
        {
            False++;
            var atS = jump.TakeoffTime - hall.HallTime(0);
            var during = athlete.Distractors.FirstOrDefault(distractor => distractor.StartS <= atS && distractor.EndS >= atS);
            Remarks.Add(FormattableString.Invariant($"seed {options.Seed}: false at {atS:F2} s, flight {jump.FlightTimeS:F3} s, {during?.Kind}"));
        }
    }
}

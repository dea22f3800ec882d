using System.Text;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline;
using Saltograph.Service.Results;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Recording;
using Saltograph.Simulator.Session;
using Saltograph.Simulator.Truth;

namespace Saltograph.Service.Validation;

/// <summary>One simulated training over a network with faults, through the pipeline of the service, once for each set of sensors worn.</summary>
internal static class SimulatedTrial
{
    private const double PieceS = 10;

    // What lands in the last two seconds is not over yet when the training ends.
    private const double LeftOutS = 2;

    /// <summary>Runs it and adds what came out to the scores, one per set of sites.</summary>
    public static void Run(SimulationOptions options, IReadOnlyList<(Site[] Sites, TrialScore Score)> worn)
    {
        var hall = new HallSimulation(options, new NetworkOptions(), startMicroseconds: 0);
        var pipelines = worn.Select(each => new Measuring(hall, each.Sites)).ToArray();
        var packets = new List<SimulatedPacket>();
        for (var untilS = PieceS; untilS <= options.DurationS; untilS += PieceS)
        {
            packets.Clear();
            hall.Advance(untilS, packets);
            foreach (var pipeline in pipelines)
            {
                pipeline.Push(packets);
            }
        }

        var endS = options.DurationS - LeftOutS;
        var truths = Truths(hall.Athletes[0].Jumps.Where(jump => jump.LandingS < endS));
        for (var i = 0; i < pipelines.Length; i++)
        {
            worn[i].Score.Add(truths, pipelines[i].Finish().Where(jump => jump.LandingS < endS));
        }
    }

    // Through the text of both, so that what is compared is what a reader of the files would compare.
    private static IReadOnlyList<JumpLine> Truths(IEnumerable<TruthJump> jumps)
    {
        using var text = new StringWriter();
        TruthText.WriteJumps(text, jumps);
        return Lines(text.ToString());
    }

    /// <summary>Records as lines of text, read again.</summary>
    public static IReadOnlyList<JumpLine> Lines(AthleteId athlete, IReadOnlyList<JumpRecord> jumps)
    {
        using var stream = new MemoryStream();
        JumpLines.Write(stream, athlete, jumps);
        return Lines(Encoding.UTF8.GetString(stream.ToArray()));
    }

    private static IReadOnlyList<JumpLine> Lines(string text)
    {
        using var reader = new StringReader(text);
        return JumpRecordReader.Read(reader, "our own records", out var jumps) is { } fault
            ? throw new InvalidOperationException(fault.ToString())
            : jumps;
    }

    private sealed class Measuring
    {
        private readonly HallSimulation _hall;
        private readonly AthletePipeline _pipeline;
        private readonly PipelineOutput _output = new();
        private readonly HashSet<SensorId> _worn;
        private readonly List<JumpRecord> _jumps = [];

        public Measuring(HallSimulation hall, Site[] sites)
        {
            _hall = hall;
            var sensors = hall.Sensors.Where(sensor => sites.Contains(sensor.Site)).ToDictionary(sensor => sensor.Sensor, sensor => sensor.Site);
            _worn = [.. sensors.Keys];
            _pipeline = new(hall.Athletes[0].Athlete, sensors, new());
        }

        public void Push(List<SimulatedPacket> packets)
        {
            foreach (var packet in packets.Where(packet => _worn.Contains(packet.Sensor.Sensor)))
            {
                _pipeline.Push(packet.Sensor.Sensor, packet.Bytes, _hall.HallTime(packet.ReceivedS), _output);
                Take();
            }
        }

        public IReadOnlyList<JumpLine> Finish()
        {
            _pipeline.Complete(_output);
            Take();
            return Lines(_pipeline.Athlete, _jumps);
        }

        private void Take()
        {
            _jumps.AddRange(_output.Jumps.Select(jump => jump.Jump));
            _output.Clear();
        }
    }
}

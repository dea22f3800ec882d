using System.Globalization;
using System.Text;
using System.Text.Json;
using Saltograph.Imu;

namespace Saltograph.Pipeline.Tests;

/// <summary>Pushes messages through a pipeline and writes down everything that comes out.</summary>
internal static class Runs
{
    private static readonly JsonSerializerOptions Plain = new() { IncludeFields = true };

    public static AthleteId Athlete { get; } = new("birch");

    public static VirtualSensor Trunk { get; } = new() { Sensor = new("t-1"), Site = Site.Trunk };

    public static VirtualSensor AnkleLeft { get; } = new()
    {
        Sensor = new("l-1"),
        Site = Site.AnkleLeft,
        DeviceAtStartUs = 77_000_000,
        PhaseS = 0.0008,
        SkewPpm = 15,
    };

    public static VirtualSensor AnkleRight { get; } = new()
    {
        Sensor = new("r-1"),
        Site = Site.AnkleRight,
        DeviceAtStartUs = 1_234_567,
        PhaseS = 0.0017,
        SkewPpm = -12,
    };

    public static AthletePipeline New(params VirtualSensor[] sensors) => new(Athlete, VirtualSensor.Roster(sensors), new());

    /// <summary>Messages of several sensors in the order of arrival; of equal times the first sensor's first.</summary>
    public static List<Message> Merge(params IEnumerable<Message>[] streams) => [.. streams.SelectMany(stream => stream).OrderBy(message => message.Received)];

    /// <summary>Arrivals a random time later, and then in the order of arrival.</summary>
    public static List<Message> Delay(IEnumerable<Message> messages, Func<double> delayS) =>
        Merge(messages.Select(message => message with { Received = message.Received.PlusSeconds(delayS()) }));

    public static PipelineOutput Push(AthletePipeline pipeline, IEnumerable<Message> messages)
    {
        var output = new PipelineOutput();
        foreach (var message in messages)
        {
            pipeline.Push(message.Sensor, message.Packet, message.Received, output);
        }

        return output;
    }

    public static PipelineOutput Run(AthletePipeline pipeline, IEnumerable<Message> messages)
    {
        var output = Push(pipeline, messages);
        pipeline.Complete(output);
        return output;
    }

    /// <summary>Everything in an output as text, doubles to the last bit.</summary>
    public static string Text(PipelineOutput output, bool withSensors = true)
    {
        var text = new StringBuilder();
        foreach (var landing in output.Landings)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"{landing.Id} {JsonSerializer.Serialize(landing.Landing, Plain)}");
        }

        foreach (var jump in output.Jumps)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"{jump.Id} {JsonSerializer.Serialize(jump.Jump, Plain)}");
        }

        foreach (var refused in output.RefusedFlights)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"{refused}");
        }

        foreach (var fact in withSensors ? output.Sensors : [])
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"{fact}");
        }

        return text.ToString();
    }
}

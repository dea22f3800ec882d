using System.Diagnostics;
using Saltograph.Imu;
using Saltograph.Service.Ingest;

namespace Saltograph.Service;

/// <summary>Traces of packets and jumps. Without a listener none is made; there is none unless a collector is configured.</summary>
internal static class Traces
{
    /// <summary>Name of the source.</summary>
    public const string SourceName = "Saltograph";

    private static readonly ActivitySource Source = new(SourceName);

    /// <summary>From the arrival of a packet until somebody has decided on it.</summary>
    public static void Follow(IncomingPacket packet)
    {
        if (Source.StartActivity("packet", ActivityKind.Consumer, parentContext: default) is { } activity)
        {
            activity.SetTag("sensor", packet.Sensor.Value).SetTag("bytes", packet.Bytes.Length);
            Activity.Current = null; // it belongs to the packet, not to what the connection does next
            _ = EndAsync(activity, packet);
        }
    }

    /// <summary>From the first contact until its event was stored and given to be sent.</summary>
    public static void Told(string what, AthleteId athlete, DateTimeOffset landing) =>
        Source.StartActivity(ActivityKind.Internal, name: what, startTime: landing)?.SetTag("athlete", athlete.Value).Dispose();

    private static async Task EndAsync(Activity activity, IncomingPacket packet)
    {
        activity.SetTag("fate", (await packet.Fate).ToString()).Dispose();
    }
}

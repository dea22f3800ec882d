using System.Collections.Concurrent;
using System.Diagnostics;
using System.Diagnostics.Metrics;
using Microsoft.Extensions.DependencyInjection;

namespace Saltograph.Service.Tests.Hosting;

public sealed class TelemetryTests
{
    // Dashboards and alarms of others rely on these names and units.
    private static readonly string[] Instruments =
    [
        "saltograph.event.latency s Histogram`1",
        "saltograph.flights.refused {flight} Counter`1",
        "saltograph.measuring.failures {failure} Counter`1",
        "saltograph.packets.refused {packet} Counter`1",
        "saltograph.packets.taken {packet} Counter`1",
        "saltograph.packets.unused {packet} Counter`1",
        "saltograph.sensor.lost {packet} Counter`1",
        "saltograph.sink.dropped {fact} Counter`1",
        "saltograph.sink.failures {fact} Counter`1",
    ];

    [Fact]
    public void Names_and_units_of_the_metrics_are_these()
    {
        using var services = new ServiceCollection().AddMetrics().BuildServiceProvider();
        var factory = services.GetRequiredService<IMeterFactory>();
        var found = new List<string>();
        using var listener = new MeterListener();
        listener.InstrumentPublished = (instrument, _) =>
        {
            if (instrument.Meter.Scope == factory)
            {
                found.Add($"{instrument.Name} {instrument.Unit} {instrument.GetType().Name}");
            }
        };
        listener.Start();
        _ = new ServiceMetrics(factory);
        Assert.Equal(Instruments, found.Order(StringComparer.Ordinal), StringComparer.Ordinal);
    }

    // The text format of Prometheus 0.0.4: "# TYPE name kind", then name, labels and value.
    [Fact]
    public async Task Prometheus_reads_packets_and_the_latency_of_events()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        await client.NextAsync();
        using var http = new HttpClient();
        var text = "";
        string[] awaited = ["saltograph_event_latency_seconds_count{", "saltograph_packets_taken_total{"]; // counted a moment later; the exporter keeps a page for some 0.3 s
        while (!awaited.All(name => text.Contains(name, StringComparison.Ordinal)))
        {
            text = await http.GetStringAsync(new Uri($"http://127.0.0.1:{host.HttpPort}/metrics"), TestContext.Current.CancellationToken);
        }

        Assert.Contains("# TYPE saltograph_event_latency_seconds histogram", text, StringComparison.Ordinal);
        Assert.Matches("saltograph_event_latency_seconds_bucket\\{[^}]*event=\"jump\"[^}]*le=\"0.15\"\\}", text);
        Assert.Matches("saltograph_packets_taken_total\\{[^}]*\\} 1( |\n)", text);

        // Every name that the page for operators tells to look at, as far as it has a value by now.
        Assert.Contains("dotnet_process_memory_working_set_bytes", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_packet_leaves_a_trace_when_somebody_listens()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        await client.NextAsync();

        var spans = new ConcurrentQueue<Activity>();
        var told = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        using var listener = new ActivityListener
        {
            ShouldListenTo = source => source.Name == Traces.SourceName,
            Sample = (ref ActivityCreationOptions<ActivityContext> _) => ActivitySamplingResult.AllData,
            ActivityStopped = activity =>
            {
                spans.Enqueue(activity);
                if (activity.GetTagItem("bytes") is 6 && activity.GetTagItem("fate") is "Taken")
                {
                    told.TrySetResult();
                }
            },
        };
        ActivitySource.AddActivityListener(listener);
        await client.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(2));
        await told.Task.WaitAsync(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken);
        Assert.Contains(spans, span => span.OperationName == "packet" && span.GetTagItem("sensor") is "b-trunk");
    }
}

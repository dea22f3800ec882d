using System.Net;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Service.Warnings;

namespace Saltograph.Service.Tests.Api;

/// <summary>Warnings, rules, trainings and sensors over HTTP.</summary>
public sealed class WarningApiTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_warning_is_listed_acknowledged_shelved_and_silenced_with_who_and_why()
    {
        await using var hall = await ApiHall.StartAsync();
        var id = await RaiseAsync(hall);
        var open = Assert.Single((await hall.GetAsync("/api/v1/warnings?channel=overload")).GetProperty("warnings").EnumerateArray());
        Assert.Equal(("plan", "amber", "active-unacknowledged"), (Text(open, "rule"), Text(open, "athlete"), Text(open, "state")));
        Assert.Empty((await hall.GetAsync("/api/v1/warnings?athlete=beryl")).GetProperty("warnings").EnumerateArray());
        Assert.Contains("Jumps: 1; limit 0", Text(open.GetProperty("lastChange"), "text"), StringComparison.Ordinal);

        var answered = await PostAsync(hall, $"warnings/{id}/acknowledge", new { who = "coach-1", why = "free now" });
        Assert.Equal("acknowledged", Text(answered.GetProperty("warning"), "state"));
        var change = answered.GetProperty("history").EnumerateArray().Last();
        Assert.Equal(("coach-1", "free now"), (Text(change, "who"), Text(change, "why")));

        var until = DateTimeOffset.UtcNow.AddHours(1).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture);
        var shelved = (await PostAsync(hall, $"warnings/{id}/shelve", new { who = "coach-1", why = "run-through", until })).GetProperty("warning");
        Assert.Equal("shelved", Text(shelved, "state"));
        Assert.StartsWith(until[..^1], Text(shelved, "shelvedUntil"), StringComparison.Ordinal);
        Assert.Equal("active-unacknowledged", Text((await PostAsync(hall, $"warnings/{id}/unshelve", new { who = "coach-1", why = "done" })).GetProperty("warning"), "state"));

        var rules = await PostAsync(hall, "rules/plan/out-of-service", new { athlete = "amber", who = "physio-1", why = "plan on paper" });
        Assert.Equal("plan", Text(Assert.Single(rules.GetProperty("outOfService").EnumerateArray()), "rule"));
        Assert.Equal("out-of-service", Text((await hall.GetAsync($"/api/v1/warnings/{id}")).GetProperty("warning"), "state"));
        Assert.Empty((await PostAsync(hall, "rules/plan/into-service", new { athlete = "amber", who = "physio-1", why = "entered" })).GetProperty("outOfService").EnumerateArray());
        var from = DateTimeOffset.UtcNow.AddDays(-1).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture);
        Assert.Equal(id, Text(Assert.Single((await hall.GetAsync($"/api/v1/warnings?from={from}")).GetProperty("warnings").EnumerateArray()), "id"));
    }

    [Theory]
    [InlineData("warnings/{id}/acknowledge", "{\"who\":\"Coach One\",\"why\":\"x\"}", "who")]
    [InlineData("warnings/{id}/acknowledge", "{\"who\":\"coach-1\",\"why\":\" \"}", "why")]
    [InlineData("warnings/{id}/acknowledge", "{\"who\":\"coach-1\"}", "why")]
    [InlineData("warnings/{id}/acknowledge", "{\"whom\":\"coach-1\"}", "body")]
    [InlineData("warnings/{id}/acknowledge", "null", "body")]
    [InlineData("warnings/{id}/acknowledge", "{", "body")]
    [InlineData("warnings/{id}/unshelve", "{\"who\":\"coach-1\",\"why\":\"x\"}", "warningId")]
    [InlineData("warnings/{id}/shelve", "{\"who\":\"coach-1\",\"why\":\"x\",\"until\":\"tomorrow\"}", "until")]
    [InlineData("warnings/{id}/shelve", "{\"who\":\"coach-1\",\"why\":\"x\",\"until\":\"2020-01-01T00:00:00Z\"}", "until")]
    [InlineData("rules/none/out-of-service", "{\"athlete\":\"amber\",\"who\":\"coach-1\",\"why\":\"x\"}", "rule")]
    [InlineData("rules/plan/out-of-service", "{\"athlete\":\"nobody\",\"who\":\"coach-1\",\"why\":\"x\"}", "athlete")]
    [InlineData("rules/dry-run", "{\"rules\":[{\"type\":\"limit\",\"id\":\"p\",\"raiseShare\":9}]}", "rules[0].raiseShare")]
    [InlineData("rules/dry-run", "{\"rules\":[{\"type\":\"ratio\",\"id\":\"p\"}]}", "body")]
    [InlineData("rules/dry-run?from=2025-01-01T00:00:00Z", "{}", "before")]
    [InlineData("sessions", "{\"athlete\":\"nobody\",\"who\":\"coach-1\"}", "athlete")]
    [InlineData("sessions", "{\"athlete\":\"amber\",\"who\":\"coach-1\",\"exertion\":11}", "exertion")]
    [InlineData("sessions", "{\"athlete\":\"amber\",\"who\":\"coach-1\",\"apparatus\":\"beam\"}", "apparatus")]
    [InlineData("sessions", "{\"athlete\":\"amber\",\"who\":\"coach-1\",\"minutes\":\"ten\"}", "body")]
    public async Task Wrong_input_says_where_and_changes_nothing(string path, string body, string where)
    {
        await using var hall = await ApiHall.StartAsync();
        var id = await RaiseAsync(hall);
        using var content = new StringContent(body, Encoding.UTF8, "application/json");
        using var answer = await hall.Client.PostAsync(new Uri("/api/v1/" + path.Replace("{id}", id, StringComparison.Ordinal), UriKind.Relative), content, Stop);
        var text = await answer.Content.ReadAsStringAsync(Stop);
        Assert.True(answer.StatusCode == HttpStatusCode.BadRequest, text);
        var fault = Assert.Single(JsonElement.Parse(text).GetProperty("faults").EnumerateArray());
        Assert.Equal(where, Text(fault, "where"));
        Assert.NotEmpty(Text(fault, "found")!);
        Assert.NotEmpty(Text(fault, "allowed")!);
        Assert.Single((await hall.GetAsync($"/api/v1/warnings/{id}")).GetProperty("history").EnumerateArray());
        Assert.Empty((await hall.GetAsync("/api/v1/rules")).GetProperty("outOfService").EnumerateArray());
        Assert.Empty((await hall.GetAsync("/api/v1/sessions")).GetProperty("sessions").EnumerateArray());
    }

    [Theory]
    [InlineData("warnings/none/acknowledge", "{\"who\":\"coach-1\",\"why\":\"x\"}")]
    [InlineData("sessions/none/close", "{\"who\":\"coach-1\"}")]
    public async Task What_is_not_there_is_not_found(string path, string body)
    {
        await using var hall = await ApiHall.StartAsync();
        using var content = new StringContent(body, Encoding.UTF8, "application/json");
        using var answer = await hall.Client.PostAsync(new Uri("/api/v1/" + path, UriKind.Relative), content, Stop);
        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
    }

    // Two of five landings at the cap; with a count of three nobody would have been warned.
    [Fact]
    public async Task Rules_are_tried_on_what_is_stored()
    {
        await using var hall = await ApiHall.StartAsync();
        await hall.StoreAsync(Enumerable.Range(0, 5).Select(i => ApiHall.Jump("amber", 1 + (4 * i), ApiHall.MorningUs + (i * 20_000_000L), leftG: i is 1 or 3 ? 25 : 10)));
        const string Stretch = "rules/dry-run?from=2027-01-15T00:00:00Z&before=2027-01-16T00:00:00Z";
        var run = await PostAsync(hall, Stretch, Rules(2));
        var line = Assert.Single(run.GetProperty("rules").EnumerateArray());
        Assert.Equal(("hard", 1, 1), (Text(line, "rule"), line.GetProperty("raised").GetInt32(), line.GetProperty("athletes").GetInt32()));
        Assert.Equal(80 / 3600.0, run.GetProperty("watchedHours").GetDouble(), 1e-6);
        Assert.Empty(run.GetProperty("leftOut").EnumerateArray());
        Assert.Equal(JsonValueKind.Null, run.GetProperty("leftOutReason").ValueKind);
        Assert.Equal(0, (await PostAsync(hall, Stretch, Rules(3))).GetProperty("rules")[0].GetProperty("raised").GetInt32());
        var later = await PostAsync(hall, "rules/dry-run?from=2027-01-15T08:01:10Z&before=2027-01-16T00:00:00Z", Rules(2));
        Assert.Equal(0, later.GetProperty("rules")[0].GetProperty("raised").GetInt32()); // it was raised before the stretch
        Assert.Empty((await hall.GetAsync("/api/v1/warnings")).GetProperty("warnings").EnumerateArray());

        static object Rules(int count) => new
        {
            landings = new { ankleCapG = 20 },
            rules = new object[] { new { type = "landing-count", id = "hard", criteria = new[] { new { atLeast = "hard", count, withinLandings = 5 } } } },
        };
    }

    [Fact]
    public async Task A_dry_run_names_the_rules_that_it_leaves_out()
    {
        await using var hall = await ApiHall.StartAsync();
        var run = await PostAsync(hall, "rules/dry-run", new { rules = new object[] { new { type = "sensor", id = "flat", kind = "battery", raiseAt = 15 }, new { type = "limit", id = "plan" } } });
        Assert.Equal("plan", Text(Assert.Single(run.GetProperty("rules").EnumerateArray()), "rule"));
        Assert.Equal("flat", Assert.Single(run.GetProperty("leftOut").EnumerateArray()).GetString());
        Assert.StartsWith("Rules of sensors were not tried", Text(run, "leftOutReason"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_training_is_opened_described_and_closed()
    {
        await using var hall = await ApiHall.StartAsync();
        var begun = await PostAsync(hall, "sessions", new { athlete = "amber", who = "coach-1", kind = "apparatus", apparatus = "hoop" }, HttpStatusCode.Created);
        var id = Text(begun, "id")!;
        Assert.Equal(("amber", "apparatus", "hoop"), (Text(begun, "athlete"), Text(begun, "kind"), Text(begun, "apparatus")));
        using var put = await hall.Client.PutAsJsonAsync(
            new Uri($"/api/v1/sessions/{id}", UriKind.Relative), new { who = "coach-1", kind = "run-through", notes = "second run", exertion = 7, minutes = 50 }, Stop);
        Assert.Equal(HttpStatusCode.OK, put.StatusCode);
        var ended = await PostAsync(hall, $"sessions/{id}/close", new { who = "coach-2" });
        Assert.Equal(("run-through", "second run", "coach-2"), (Text(ended, "kind"), Text(ended, "notes"), Text(ended, "closedBy")));
        Assert.Equal(7, ended.GetProperty("exertion").GetDouble());
    }

    [Fact]
    public async Task Sensors_tell_their_state_what_was_lost_and_what_was_rejected()
    {
        await using var hall = await ApiHall.StartAsync();
        hall.Services.GetRequiredService<SensorInbox>().Note(new("a-left"), new(Encoding.UTF8.GetBytes("{\"online\":true,\"batteryPercent\":64,\"firmware\":\"1.4\"}")));
        var book = hall.Services.GetRequiredService<SensorBook>();
        await book.EmitAsync(new PacketRejected(new("amber"), new("a-left"), "Version", "version 9"), Stop);
        await book.EmitAsync(new SensorReported(new("amber"), new(Pipeline.SensorFactKind.Gap, new("a-left"), Site.AnkleLeft, null, new(0), 7, 0.1)), Stop);
        var body = await hall.GetAsync("/api/v1/sensors");
        Assert.True(body.GetProperty("brokerReady").GetBoolean());
        var sensor = body.GetProperty("sensors").EnumerateArray().Single(sensor => Text(sensor, "sensor") == "a-left");
        Assert.Equal((64.0, "1.4", 7L), (sensor.GetProperty("batteryPercent").GetDouble(), Text(sensor, "firmware"), sensor.GetProperty("lostPackets").GetInt64()));
        await book.EmitAsync(new SensorReported(new("amber"), new(Pipeline.SensorFactKind.Battery, new("a-left"), Site.AnkleLeft, null, new(0), 61)), Stop);
        var packet = (await hall.GetAsync("/api/v1/sensors")).GetProperty("sensors").EnumerateArray().Single(told => Text(told, "sensor") == "a-left");
        Assert.Equal(61, packet.GetProperty("batteryPercent").GetDouble()); // what a packet told later
        Assert.Equal(1, sensor.GetProperty("rejectedPackets").GetProperty("Version").GetInt64());
        var other = body.GetProperty("sensors").EnumerateArray().Single(sensor => Text(sensor, "sensor") == "b-trunk");
        Assert.Equal(JsonValueKind.Null, other.GetProperty("online").ValueKind);
    }

    // A plan of no jumps, and one jump.
    private static async Task<string> RaiseAsync(ApiHall hall)
    {
        var days = hall.Services.GetRequiredService<HallDays>();
        var now = HallClock.Now(TimeProvider.System);
        await hall.StoreAsync(ApiHall.Jump("amber", 1, now.Microseconds));
        await hall.Store.WriteAsync(
            transaction => transaction.PutPlanAsync(new() { Athlete = "amber", Day = days.Of(now), Kind = "plan", Limits = "{\"jumps\":0}", EnteredUs = now.Microseconds, EnteredBy = "coach-1" }), Stop);
        var desk = hall.Services.GetRequiredService<WarningDesk>();
        await desk.EmitAsync(new JumpMeasured(new("amber"), ScriptedMeasuring.EventId("amber", 1), ScriptedMeasuring.Record(1) with { LandingTime = now }), Stop);
        while (!(await desk.OpenAsync(Stop)).Any(open => open.LastChange.Channel == WarningChannel.Overload))
        {
            await Task.Delay(20, Stop);
            await desk.CompleteAsync(Stop);
        }

        return (await desk.OpenAsync(Stop)).Single().LastChange.WarningId;
    }

    private static string? Text(JsonElement json, string key) => json.GetProperty(key).GetString();

    private static async Task<JsonElement> PostAsync(ApiHall hall, string path, object body, HttpStatusCode expected = HttpStatusCode.OK)
    {
        using var answer = await hall.Client.PostAsJsonAsync(new Uri("/api/v1/" + path, UriKind.Relative), body, Stop);
        var text = await answer.Content.ReadAsStringAsync(Stop);
        Assert.True(answer.StatusCode == expected, $"{path}: {(int)answer.StatusCode} {text}");
        return JsonElement.Parse(text);
    }
}

using System.Text.Json;
using Json.Schema;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Results;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Testing;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Facts;

/// <summary>What is published fits the schemas of src/Service/Schemas (JSON Schema 2020-12), and nothing less does.</summary>
public sealed class SchemaTests
{
    private static readonly AthleteId Amber = new("amber");

    // A schema may be read only once: the library registers its id.
    private static readonly Dictionary<string, JsonSchema> Schemas = Names().ToDictionary(
        row => row.Data,
        row => JsonSchema.FromFile(Path.Combine(Repository.Root, "src", "Service", "Schemas", $"{row.Data}.schema.json")),
        StringComparer.Ordinal);

    private static readonly JumpRecord Bare = ScriptedMeasuring.Record(1) with { TakeoffFoot = null, LandingFoot = null };

    private static readonly JumpRecord Full = ScriptedMeasuring.Record(2) with
    {
        Form = JumpForm.Leap,
        SecondFootLagS = 0.2,
        HeightFlightTimeM = 0.2,
        HeightTakeoffVelocityM = 0.2,
        TrunkRiseM = 0.2,
        TakeoffVelocityMps = 2,
        PushOffTimeS = 0.2,
        CrouchDepthM = 0.1,
        TurnPreparationDeg = -30,
        TurnFlightDeg = -180,
        TurnRecoveryDeg = -20,
        TurnRateTakeoffDps = -500,
        TurnRateTopDps = -300,
        TurnRatePeakDps = -520,
        InertiaGrowth = 1.67,
        SplitAngleDeg = 185,
        SplitAngleAtPeakDeg = 180,
        SplitHoldFraction = 0.3,
        LandingShockG = new(5, 12, null),
        ShockAttenuationPercent = 58,
        ShockRiseTimeS = 0.01,
        AbsorptionTimeS = 0.2,
        AbsorptionDepthM = 0.15,
        Series = new(1, 2, 0.2),
        Grade = JumpGrade.A,
        Quality = [QualityWords.PacketGap, QualityWords.Saturated],
    };

    public static TheoryData<string> Names() => ["landing", "jump", "load", "live"];

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_payload_fits_its_schema_and_needs_every_key(string name)
    {
        var schema = Schema(name);
        var payloads = Payloads(name);
        Assert.NotEmpty(payloads);
        foreach (var payload in payloads)
        {
            Assert.True(schema.Evaluate(payload).IsValid, payload.GetRawText());
            foreach (var key in payload.EnumerateObject().Select(property => property.Name).Where(key => name != "jump" || key is not ("takeoff" or "peak" or "landing")))
            {
                var without = payload.EnumerateObject().Where(property => property.Name != key).ToDictionary(property => property.Name, property => property.Value, StringComparer.Ordinal);
                Assert.False(schema.Evaluate(JsonSerializer.SerializeToElement(without)).IsValid, $"{name} without {key}");
            }
        }
    }

    [Fact]
    public void A_line_of_a_file_fits_the_schema_of_the_jump()
    {
        using var stream = new MemoryStream();
        JumpLines.Write(stream, Amber, [Bare, Full]);
        var lines = System.Text.Encoding.UTF8.GetString(stream.ToArray()).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(2, lines.Length);
        Assert.All(lines, line => Assert.True(Schema("jump").Evaluate(JsonDocument.Parse(line).RootElement).IsValid, line));
    }

    private static JsonSchema Schema(string name) => Schemas[name];

    private static List<JsonElement> Payloads(string name)
    {
        var time = Full.LandingTime;
        var totals = new DayTotals(new(2027, 3, 1), 2, new(2, 0, 0, 0), new(1, 1, 0, 0), 0.4, 0.8);
        Fact[] facts = name switch
        {
            "landing" => [new LandingMeasured(Amber, "1", new(time, time, 0.4, null)), new LandingMeasured(Amber, "2", new(time, time, 0.4, Foot.Left))],
            "jump" => [new JumpMeasured(Amber, "1", Bare), new JumpMeasured(Amber, "2", Full)],
            "load" => [new LoadChanged(Amber, "1", time, totals)],
            _ => [new LiveSummary(Amber, time, [], null, null), new LiveSummary(Amber, time, [Site.Trunk, Site.AnkleLeft], totals, Full), new LiveSummary(Amber, time, [Site.Trunk], totals, Bare)],
        };
        var messages = new EventMessages(new(TestHall.Hall));
        return [.. facts.Select(fact => messages.Of(fact)!).Select(message => name == "live" ? JsonDocument.Parse(message.Payload).RootElement : DataOf(message))];
    }

    private static JsonElement DataOf(OutgoingMessage message)
    {
        Assert.True(CloudEventReader.TryRead(message.Payload, out var cloudEvent).IsAccepted);
        return cloudEvent!.Data!.Value;
    }
}

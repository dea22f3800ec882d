using System.Text;
using System.Text.Json;
using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Wire.Events;

namespace Saltograph.Wire.Tests;

/// <summary>CloudEvents 1.0. The six events are the examples of the JSON format, sections 3.2 and 3.1 (cloudevents/spec).</summary>
public class CloudEventTests
{
    private const string Common = """
        "specversion" : "1.0", "type" : "com.example.someevent", "source" : "/mycontext", "time" : "2018-04-05T17:31:00Z",
        "comexampleextension1" : "value", "comexampleothervalue" : 5
        """;

    [Fact]
    public void Binary_data_comes_as_base64()
    {
        var read = Read($$"""{ {{Common}}, "id" : "A234-1234-1234", "datacontenttype" : "application/vnd.apache.thrift.binary", "data_base64" : "eyAieHl6IjogMTIzIH0=" }""");
        RequireCommon(read, "A234-1234-1234");
        Assert.Equal("application/vnd.apache.thrift.binary", read.Attributes.DataContentType);
        Assert.Equal("{ \"xyz\": 123 }", Encoding.UTF8.GetString(read.Binary!.Value.Span));
        Assert.Null(read.Data);
    }

    [Fact]
    public void Other_text_comes_as_a_string_and_null_attributes_are_absent()
    {
        var read = Read($$"""{ {{Common}}, "id" : "B234-1234-1234", "unsetextension": null, "datacontenttype" : "application/xml", "data" : "<much wow=\"xml\"/>" }""");
        RequireCommon(read, "B234-1234-1234");
        Assert.Equal("<much wow=\"xml\"/>", read.Data!.Value.GetString());
        Assert.False(read.Attributes.Extensions.ContainsKey("unsetextension"));
    }

    [Fact]
    public void Json_data_comes_as_json()
    {
        var read = Read($$"""{ {{Common}}, "subject": null, "id" : "C234-1234-1234", "datacontenttype" : "application/json", "data" : { "appinfoA" : "abc", "appinfoB" : 123, "appinfoC" : true } }""");
        RequireCommon(read, "C234-1234-1234");
        Assert.Null(read.Attributes.Subject);
        Assert.Equal(123, read.Data!.Value.GetProperty("appinfoB").GetInt32());
    }

    [Theory]
    [InlineData("1.5", JsonValueKind.Number)]
    [InlineData("\"I'm just a string\"", JsonValueKind.String)]
    [InlineData("null", JsonValueKind.Null)]
    public void Without_content_type_the_data_is_json(string data, JsonValueKind kind)
    {
        var read = Read($$"""{ {{Common}}, "id" : "D234-1234-1234", "data" : {{data}} }""");
        RequireCommon(read, "D234-1234-1234");
        Assert.Null(read.Attributes.DataContentType);
        Assert.Equal(kind, read.Data!.Value.ValueKind);
    }

    [Fact]
    public void Base64_without_content_type_is_binary_data()
    {
        var read = Read("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "data_base64" : "eyAieHl6IjogMTIzIH0=" }""");
        Assert.Equal("{ \"xyz\": 123 }", Encoding.UTF8.GetString(read.Binary!.Value.Span));
    }

    [Theory]
    // The structured examples of the MQTT binding, section 3.2.4, are not JSON: time and id unquoted, a semicolon in the time.
    [InlineData("""{ "specversion" : "1.0", "type" : "com.example.someevent", "time" : 2018-04-05T03:56;24Z, "id" : 1234-1234-1234, "source" : "/mycontext/subcontext" }""", CloudEventFault.NotJson)]
    [InlineData("", CloudEventFault.NotJson)]
    [InlineData("[]", CloudEventFault.NotAnObject)]
    [InlineData("""{ "type" : "t", "source" : "/s", "id" : "1" }""", CloudEventFault.MissingAttribute)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "" }""", CloudEventFault.MissingAttribute)]
    [InlineData("""{ "specversion" : "0.3", "type" : "t", "source" : "/s", "id" : "1" }""", CloudEventFault.UnknownSpecVersion)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : 1 }""", CloudEventFault.WrongType)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "id" : "2" }""", CloudEventFault.WrongType)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "extra" : {} }""", CloudEventFault.WrongType)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "my-extension" : "x" }""", CloudEventFault.BadAttributeName)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "time" : "yesterday" }""", CloudEventFault.BadTime)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "data" : 1, "data_base64" : "AA==" }""", CloudEventFault.TwoDataMembers)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "1", "data_base64" : "?" }""", CloudEventFault.BadBase64)]
    [InlineData("""{ "specversion" : "1.0", "type" : "t", "source" : "/s", "id" : "\ud800" }""", CloudEventFault.NotJson)]
    public void Broken_events_are_refused(string json, CloudEventFault fault)
    {
        var verdict = CloudEventReader.TryRead(Encoding.UTF8.GetBytes(json), out var read);
        Assert.True(fault == verdict.Fault, verdict.ToString());
        Assert.Contains("allowed", verdict.ToString(), StringComparison.Ordinal);
        Assert.Null(read);
    }

    [Fact]
    public void An_event_over_64_KiB_is_refused() =>
        Assert.Equal(CloudEventFault.TooLarge, CloudEventReader.TryRead(new byte[(64 * 1024) + 1], out _).Fault);

    [Fact]
    public void What_is_written_piece_by_piece_reads_back_the_same()
    {
        var attributes = Attributes() with { DataSchema = "https://example.org/jump.json" };
        var bytes = Bytes(json =>
        {
            CloudEventWriter.Start(json, attributes);
            json.WriteStartObject();
            json.WriteNumber("heightM", 0.42);
            json.WriteEndObject();
            CloudEventWriter.End(json);
        });

        Assert.Equal(
            """{"specversion":"1.0","id":"birch.s-07.1a2b3c4d.5000000.jump","source":"/saltograph/hall-1","type":"org.saltograph.jump.v1","subject":"birch","time":"2026-11-24T18:03:05.250000Z","datacontenttype":"application/json","dataschema":"https://example.org/jump.json","data":{"heightM":0.42}}""",
            Encoding.UTF8.GetString(bytes));
        Assert.True(CloudEventReader.TryRead(bytes, out var read).IsAccepted);
        Assert.Equal(attributes, read!.Attributes); // record equality: every attribute
        Assert.Equal(0.42, read.Data!.Value.GetProperty("heightM").GetDouble());
        Assert.Equal(bytes, Bytes(json => CloudEventWriter.Write(json, read)));
    }

    [Fact]
    public void An_id_depends_on_the_measurement_only()
    {
        var id = EventIds.OfSample("jump", new AthleteId("birch"), new SensorId("s-07"), new BootId(0x1a2b3c4d), 5_000_000);
        Assert.Equal("birch.s-07.1a2b3c4d.5000000.jump", id);
    }

    [Fact]
    public void Binary_mode_follows_the_MQTT_binding()
    {
        // MQTT binding, section 3.1.4, with its superfluous datacontenttype property, which is not believed.
        KeyValuePair<string, string>[] properties =
        [
            new("specversion", "1.0"), new("type", "com.example.someevent"), new("time", "2018-04-05T03:56:24Z"),
            new("id", "1234-1234-1234"), new("source", "/mycontext/subcontext"), new("datacontenttype", "text/wrong"), new("Trace-Id", "other layer"),
        ];

        var verdict = CloudEventBinaryMode.TryRead("application/json; charset=utf-8", properties, "{\"a\":1}"u8.ToArray(), out var read);

        Assert.True(verdict.IsAccepted, verdict.ToString());
        Assert.Equal("application/json; charset=utf-8", read!.Attributes.DataContentType);
        Assert.Equal("1234-1234-1234", read.Attributes.Id);
        Assert.Equal(1, read.Data!.Value.GetProperty("a").GetInt32());
        Assert.Empty(read.Attributes.Extensions);
        Assert.Equal(
            "specversion id source type time",
            string.Join(' ', CloudEventBinaryMode.UserProperties(read.Attributes).Select(property => property.Key)));
        Assert.True(CloudEventBinaryMode.IsStructured("application/cloudevents+json; charset=utf-8"));
        Assert.False(CloudEventBinaryMode.IsStructured("application/json"));
    }

    [Fact]
    public void Binary_mode_refuses_what_lacks_an_attribute_or_is_no_json()
    {
        Assert.Equal(CloudEventFault.MissingAttribute, CloudEventBinaryMode.TryRead("application/json", [], "1"u8.ToArray(), out _).Fault);
        Assert.Equal(
            CloudEventFault.NotJson,
            CloudEventBinaryMode.TryRead("application/json", CloudEventBinaryMode.UserProperties(Attributes()), "{"u8.ToArray(), out _).Fault);
    }

    [Property(MaxTest = 1000)]
    public void Mutated_events_never_throw(int seed)
    {
        var random = new Random(seed);
        var bytes = Encoding.UTF8.GetBytes($$"""{ {{Common}}, "id" : "C234", "subject" : "\u00fc", "data" : { "a" : [1, 2, null] } }""");
        for (var i = random.Next(1, 4); i > 0; i--)
        {
            bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
        }

        CloudEventReader.TryRead(bytes.AsMemory(0, random.Next(3) == 0 ? random.Next(bytes.Length) : bytes.Length), out _);
    }

    private static CloudEventAttributes Attributes() => new()
    {
        Id = EventIds.OfSample("jump", new AthleteId("birch"), new SensorId("s-07"), new BootId(0x1a2b3c4d), 5_000_000),
        Source = CloudEventAttributes.SourceOf(new HallId("hall-1")),
        Type = EventTypes.Jump,
        Subject = "birch",
        Time = new SampleTime(1_795_543_385_250_000),
    };

    private static CloudEvent Read(string json)
    {
        var verdict = CloudEventReader.TryRead(Encoding.UTF8.GetBytes(json), out var read);
        Assert.True(verdict.IsAccepted, verdict.ToString());
        return read!;
    }

    private static void RequireCommon(CloudEvent read, string id)
    {
        Assert.Equal(id, read.Attributes.Id);
        Assert.Equal("com.example.someevent", read.Attributes.Type);
        Assert.Equal("/mycontext", read.Attributes.Source);
        Assert.Equal("2018-04-05T17:31:00.000000Z", Rfc3339.Text(read.Attributes.Time!.Value));
        Assert.Equal("value", read.Attributes.Extensions["comexampleextension1"]);
        Assert.Equal("5", read.Attributes.Extensions["comexampleothervalue"]);
    }

    private static byte[] Bytes(Action<Utf8JsonWriter> write)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream))
        {
            write(json);
        }

        return stream.ToArray();
    }
}

using System.Text;
using Saltograph.Fuzz.Targets;
using Saltograph.Simulator.Network;
using Saltograph.Store.Recordings;

namespace Saltograph.Fuzz;

/// <summary>For each target how long inputs are, right inputs of our own making to begin with, and the words of its language.</summary>
public static class Plans
{
    private const int PacketBytes = 7 * 1024; // one of the most samples fits

    private static readonly string[] CsvWords =
    [
        "time_s", "acc_x_mps2", "acc_y_mps2", "acc_z_mps2", "gyr_x_radps", "gyr_y_radps", "gyr_z_radps", "mag_x_uT", "mag_y_uT", "mag_z_uT", ",", "\n", "\r\n", "\r", "\"", "\"\"", "\uFEFF", " ", "NaN",
        "-Infinity", "1e308", "1e-320", "-0", "0.0025", "9.81", "1,2", ",,,,,,\n", "0.0000001", "18446744073709551616", "\0",
    ];

    private static readonly string[] BodyWords =
    [
        "\"who\":", "\"why\":", "\"until\":", "\"athlete\":", "\"limits\":", "\"enteredBy\":", "\"kind\":", "\"apparatus\":", "\"notes\":", "\"exertion\":", "\"minutes\":", "\"roles\":", "\"active\":",
        "\"subject\":", "\"label\":", "\"scopes\":", "\"days\":", "\"recording\":", "\"display\":", "\"givenBy\":", "\"name\":", "\"rules\":", "\"type\":", "\"limit\"", "\"landing-count\"", "\"shock-rise\"",
        "\"fatigue\"", "\"asymmetry\"", "\"sensor\"", "\"coach\"", "\"amber\"", "\"look\"", "null", "true", "false", "[]", "{}", "[null]", "\"\"", "{", "}", "[", "]", ",", ":", "-1", "0", "1e999", "0.5", "10000", "\"\\u0000\"",
        "\"\\ud800\"", "\"2027-01-15T08:00:00Z\"", "athlete=", "from=", "before=", "limit=", "after=", "order=newest-first", "&", "%00", "heightFromM=", "form=leap", "+", "2027-01-15T08:00:00%2B01:00",
    ];

    /// <summary>The plan of a target.</summary>
    public static TargetPlan Of(string target) => target switch
    {
        "packets" => new(target, PacketBytes, true, Packets(), []),
        "csv" => new(target, 1024, false, Csv(), Bytes(CsvWords)),
        "recordings" => new(target, 2048, true, Recordings(), []),
        "bodies" => new(target, 1024, false, Bodies(), Bytes(BodyWords)),
        _ => new(target, 64, false, [[1, 2, 3]], []),
    };

    private static byte[][] Bytes(IEnumerable<string> texts) => [.. texts.Select(Encoding.UTF8.GetBytes)];

    private static byte[][] Packets()
    {
        var simulated = new List<SimulatedPacket>();
        new HallSimulation(new() { AthleteCount = 1, DurationS = 5 }, NetworkOptions.Faultless).Advance(1, simulated);
        var writer = new Wire.Packets.PacketWriter();
        var header = new Wire.Packets.PacketHeader { Boot = new(7), IntervalNanoseconds = 2_500_000, AccelerometerCountMps2 = 0.005, GyroscopeCountRadps = 0.001 };
        return
        [
            .. simulated.Take(4).Select(packet => packet.Bytes.ToArray()),
            writer.Write(header, new short[6]),
            writer.Write(header with { MagnetometerCountUT = 0.15, TemperatureCentiCelsius = -5, BatteryPercent = 87, HallMinusDeviceMicroseconds = 1 }, new short[12], new short[6]),
            writer.Write(header with { Sequence = uint.MaxValue }, new short[512 * 6]),
        ];
    }

    private static byte[][] Csv()
    {
        const string Header = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps";
        return Bytes(
        [
            $"{Header}\n0,0.1,-0.2,9.81,0.01,,-1e-3\n0.0025,0.1,-0.2,9.81,0.01,0,-1e-3\n0.005,0.1,-0.2,9.81,0.01,0,-1e-3\n",
            $"{Header},mag_x_uT,mag_y_uT,mag_z_uT\r\n0,157,157,9.81,0.01,0,0,20,30,40\r\n0.01,157,157,9.81,0.01,0,0,,,\r\n",
            $"\"{Header.Replace(",", "\",\"", StringComparison.Ordinal)}\"\n0,1,2,3,4,5,6\n\n1,1,2,3,4,5,6",
        ]);
    }

    private static byte[][] Recordings()
    {
        var packet = Packets()[4];
        var header = new RecordingHeader
        {
            Athlete = "amber",
            OpenedUs = 1,
            Hall = "hall-1",
            Sensors = new Dictionary<string, string>(StringComparer.Ordinal) { ["amber-trunk"] = "trunk", ["amber-left"] = "ankle-left" },
            Settings = "{}",
            Program = "0.1.0",
        };
        var writer = new System.Formats.Cbor.CborWriter(System.Formats.Cbor.CborConformanceMode.Lax, allowMultipleRootLevelValues: true);
        RecordingFormat.WritePacket(writer, 2, "amber-trunk", packet);
        RecordingFormat.WritePacket(writer, 3, "amber-left", []);
        return [[.. RecordingFormat.WriteHeader(header, 1), .. writer.Encode()], RecordingFormat.WriteHeader(header with { IsSealed = true }, 2)];
    }

    private static byte[][] Bodies()
    {
        string[] texts =
        [
            """{"who":"coach-1","why":"seen"}""",
            """{"who":"coach-1","why":"seen","until":"2027-01-15T08:00:00Z"}""",
            """{"athlete":"amber","who":"coach-1","why":"seen"}""",
            """{"limits":{"jumps":40,"leftLandings":20,"rightLandings":20,"heightM":0.5,"shockG":12.5},"enteredBy":"medical-1"}""",
            """{"athlete":"amber","who":"coach-1","kind":"apparatus","apparatus":"hoop","notes":"short","exertion":6,"minutes":90}""",
            """{"who":"coach-1","kind":"class","notes":null,"exertion":null}""",
            """{"who":"coach-1"}""",
            """{"roles":["coach","analyst"],"active":true,"subject":"s-1"}""",
            """{"label":"sheet","scopes":["look","export"],"days":30}""",
            """{"recording":true,"display":false,"givenBy":"guardian"}""",
            """{"athlete":"amber","name":"Nobody Invented"}""",
            """{"rules":[{"type":"landing-count","id":"landings"},{"type":"limit","id":"limits"},{"type":"sensor","id":"sensors"}]}""",
            "athlete=amber&from=2027-01-15T08:00:00Z&limit=10&order=newest-first&heightFromM=0.2&heightBelowM=0.5&shockFromG=1",
        ];
        return
        [
            .. texts.Select((text, kind) => (byte[])[(byte)kind, 0, .. Encoding.UTF8.GetBytes(text)]),
            [11, 0, .. System.Text.Json.JsonSerializer.SerializeToUtf8Bytes(Load.WarningRules.Proposed, Service.Configuration.WarningRulesFile.Json).Take(1022)],
            .. Enumerable.Range(1, 9).Select(type => (byte[])[6, (byte)type, .. "{}"u8]),
        ];
    }
}

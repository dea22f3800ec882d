using System.Text;
using Saltograph.Service.Recordings;
using Saltograph.Simulator.Network;
using Saltograph.Store.Recordings;
using Saltograph.Wire;
using Saltograph.Wire.Clock;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Tests.Faults;

/// <summary>
/// Whatever bytes come, a reader says what is wrong and neither throws nor hangs. Right inputs are changed at random: bits,
/// bytes, pieces cut out, doubled, or set to border values. Blind to coverage: nothing is instrumented, and no input is kept because it reached new code.
/// </summary>
public sealed class MutationTests : IDisposable
{
    private static readonly int Scale = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1" ? 50 : 1;
    private static readonly byte[] Borders = [0x00, 0x01, 0x1B, 0x3B, 0x5F, 0x7F, 0x80, 0x9F, 0xBF, 0xFB, 0xFE, 0xFF];

    private readonly TemporaryFolder _folder = new();
    private readonly byte[] _packet;

    public MutationTests()
    {
        var simulated = new List<SimulatedPacket>();
        new HallSimulation(new() { AthleteCount = 1, DurationS = 5 }, NetworkOptions.Faultless).Advance(2, simulated);
        _packet = simulated[^1].Bytes.ToArray();
    }

    [Fact]
    public void Packets() => Try(_packet, 100_000, bytes =>
    {
        var (reader, buffer) = (new PacketReader(), new PacketBuffer());
        var verdict = reader.TryRead(bytes, buffer);
        Assert.Equal(verdict.IsAccepted, buffer.Count > 0);
        Assert.InRange(buffer.Count, 0, PacketFormat.MostSamples);
    });

    [Fact]
    public void Time_requests_and_states_of_sensors()
    {
        Try(ClockMessages.WriteRequest(123_456_789), 50_000, bytes => ClockMessages.TryReadRequest(bytes, out _));
        Try(Encoding.UTF8.GetBytes("{\"online\": true, \"boot\": 439041101, \"firmware\": \"1.4.2\", \"batteryPercent\": 87}"), 50_000, bytes =>
            Assert.Equal(SensorState.TryRead(bytes, out var state) is null, state is not null));
    }

    [Fact]
    public void Recordings_as_csv()
    {
        var text = new StringBuilder("time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n");
        for (var row = 0; row < 8; row++)
        {
            text.Append(System.Globalization.CultureInfo.InvariantCulture, $"{row * 0.0025},0.1,-0.2,9.81,0.01,,-1e-3\n");
        }

        Try(Encoding.UTF8.GetBytes(text.ToString()), 10_000, bytes =>
        {
            var fault = RecordingReader.Read(new MemoryStream(bytes), new("mutated.csv", null), null, out var recording);
            Assert.Equal(fault is null, recording is not null);
        });
    }

    [Fact]
    public void Raw_recordings()
    {
        var header = new RecordingHeader
        {
            Athlete = "amber",
            OpenedUs = 1,
            Hall = "hall-1",
            Sensors = new Dictionary<string, string>(StringComparer.Ordinal) { ["amber-trunk"] = "trunk" },
            Settings = "{}",
            Program = "0.1.0",
        };
        using (var writer = RecordingWriter.Begin(new RecordingDisk(), new() { Folder = _folder.Root, LargestFileBytes = 1_000_000 }, header))
        {
            for (var i = 0; i < 3; i++)
            {
                writer.Add(i, "amber-trunk", _packet);
            }

            writer.Write();
        }

        var file = Directory.GetFiles(_folder.Root, "*", SearchOption.AllDirectories).Single();
        Try(File.ReadAllBytes(file), 2000, bytes =>
        {
            File.WriteAllBytes(file, bytes);
            var packets = RecordingFiles.OfFile(file)?.Packets().Count() ?? 0;
            Assert.InRange(packets, 0, 10);
        });
    }

    public void Dispose() => _folder.Dispose();

    private static void Try(byte[] right, int times, Action<byte[]> read)
    {
        var random = new Random(right.Length);
        for (var i = 0; i < times * Scale; i++)
        {
            var bytes = Mutated(right, random);
            try
            {
                read(bytes);
            }
            catch (Exception problem)
            {
                throw new InvalidOperationException($"After {i} inputs: {Convert.ToHexString(bytes)}", problem);
            }
        }
    }

    private static byte[] Mutated(byte[] right, Random random)
    {
        var bytes = new List<byte>(right);
        for (var changes = random.Next(1, 5); changes > 0 && bytes.Count > 0; changes--)
        {
            // Half of the changes where the structure is, at the beginning.
            var at = random.Next(random.Next(2) == 0 ? Math.Min(64, bytes.Count) : bytes.Count);
            var length = Math.Min(random.Next(1, 9), bytes.Count - at);
            switch (random.Next(6))
            {
                case 0:
                    bytes[at] ^= (byte)(1 << random.Next(8));
                    break;
                case 1:
                    bytes[at] = (byte)random.Next(256);
                    break;
                case 2:
                    bytes[at] = Borders[random.Next(Borders.Length)];
                    break;
                case 3:
                    bytes.RemoveRange(at, length);
                    break;
                case 4:
                    bytes.InsertRange(at, bytes.GetRange(at, length));
                    break;
                default:
                    bytes.RemoveRange(at, bytes.Count - at);
                    break;
            }
        }

        return [.. bytes];
    }
}

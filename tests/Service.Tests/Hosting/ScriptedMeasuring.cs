using System.Globalization;
using System.Text;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>
/// Stands in for the measuring where a test is about what lies around it: a packet of the text <c>jump 7</c> is jump
/// number 7, the packet <c>fail</c> is an error, any other is nothing.
/// </summary>
internal sealed class ScriptedMeasuring(AthleteId athlete) : IAthleteMeasuring
{
    public static byte[] Jump(int number) => Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"jump {number}"));

    public static byte[] Failure => "fail"u8.ToArray();

    public static string EventId(string athlete, int number) => string.Create(CultureInfo.InvariantCulture, $"{athlete}.{number}");

    public static JumpRecord Record(int number, double flightTimeS = 0.4) => new()
    {
        Number = number,
        AnchorTime = new(1_800_000_000_000_000),
        TakeoffTime = new(1_800_000_000_000_000),
        PeakTime = new SampleTime(1_800_000_000_000_000).PlusSeconds(flightTimeS / 2),
        LandingTime = new SampleTime(1_800_000_000_000_000).PlusSeconds(flightTimeS),
        HeightM = Gravity.StandardMps2 * flightTimeS * flightTimeS / 8,
        Uncertainty = new(),
        TakeoffFoot = Foot.Left,
        LandingFoot = Foot.Right,
        LandingShockG = new(null, null, null),
        Grade = JumpGrade.C,
        Quality = [],
    };

    public void Push(IncomingPacket packet, List<Fact> facts)
    {
        var words = Encoding.ASCII.GetString(packet.Bytes.Span).Split(' ');
        switch (words[0])
        {
            case "jump":
                var number = int.Parse(words[1], CultureInfo.InvariantCulture);
                facts.Add(new JumpMeasured(athlete, EventId(athlete.Value, number), Record(number)));
                break;
            case "fail":
                throw new InvalidOperationException("poisoned");
            default:
                break;
        }
    }

    public void Complete(List<Fact> facts) => facts.Add(new JumpMeasured(athlete, EventId(athlete.Value, 999), Record(999)));
}

using Microsoft.Extensions.DependencyInjection;
using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Hosting;

namespace Saltograph.Service.Tests.Soak;

/// <summary>
/// What must be published: each packet that the measuring gets goes through a pipeline of the test too, as it comes, so that hours need no memory. Of each jump only digests are kept.
/// </summary>
/// <param name="roster">Who wears what.</param>
/// <param name="room">Jumps for which there is room at once.</param>
internal sealed class ExpectedEvents(RosterOptions roster, int room)
{
    private readonly Lock _lock = new();
    private readonly Dictionary<UInt128, UInt128> _jumps = new(room);
    private long _packets;

    /// <summary>Packets that the measuring got.</summary>
    public long Packets => Volatile.Read(ref _packets);

    /// <summary>Digest of the contents by digest of the id; read when nothing is measured.</summary>
    public IReadOnlyDictionary<UInt128, UInt128> Jumps => _jumps;

    public void Watch(IServiceCollection services)
    {
        var begin = services.Last(service => service.ServiceType == typeof(Func<AthleteId, IAthleteMeasuring>)).ImplementationFactory!;
        services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(provider =>
        {
            var inner = (Func<AthleteId, IAthleteMeasuring>)begin(provider);
            return athlete => new Watched(this, inner(athlete), new(athlete, Worn(athlete), new()), athlete);
        });
    }

    private Dictionary<SensorId, Site> Worn(AthleteId athlete) => roster.Sensors.Where(entry => entry.Athlete == athlete.Value).ToDictionary(
        entry => new SensorId(entry.Sensor), entry => Sites.TryParse(entry.Site, out var site) ? site : throw new ArgumentException(entry.Site, nameof(athlete)));

    private sealed class Watched(ExpectedEvents expected, IAthleteMeasuring inner, AthletePipeline twin, AthleteId athlete) : IAthleteMeasuring
    {
        private readonly PipelineOutput _output = new();

        public void Push(IncomingPacket packet, List<Fact> facts)
        {
            twin.Push(packet.Sensor, packet.Bytes, packet.ReceivedHall, _output);
            Take();
            inner.Push(packet, facts);
            Interlocked.Increment(ref expected._packets);
        }

        public void Complete(List<Fact> facts)
        {
            twin.Complete(_output);
            Take();
            inner.Complete(facts);
        }

        private void Take()
        {
            foreach (var jump in _output.Jumps)
            {
                var (id, contents) = (Digest.Of(jump.Id), Digest.Of(DeliveryTests.Text(athlete, jump)));
                lock (expected._lock)
                {
                    expected._jumps[id] = contents;
                }
            }

            _output.Clear();
        }
    }
}

/// <summary>128 bits of SHA-256: enough to tell thousands of texts apart.</summary>
internal static class Digest
{
    public static UInt128 Of(string text) =>
        System.Buffers.Binary.BinaryPrimitives.ReadUInt128BigEndian(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(text)));
}

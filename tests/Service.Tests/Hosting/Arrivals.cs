using System.Collections.Concurrent;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>Notes what the measuring of a host was given, in order and with the times of arrival.</summary>
internal sealed class Arrivals
{
    private readonly ConcurrentDictionary<AthleteId, ConcurrentQueue<IncomingPacket>> _packets = new();

    public ConcurrentQueue<IncomingPacket> Of(AthleteId athlete) => _packets[athlete];

    public void Watch(IServiceCollection services)
    {
        var begin = services.Last(service => service.ServiceType == typeof(Func<AthleteId, IAthleteMeasuring>)).ImplementationFactory!;
        services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(provider =>
        {
            var inner = (Func<AthleteId, IAthleteMeasuring>)begin(provider);
            return athlete => new Watched(inner(athlete), packet => _packets.GetOrAdd(athlete, _ => new()).Enqueue(packet));
        });
    }

    private sealed class Watched(IAthleteMeasuring inner, Action<IncomingPacket> note) : IAthleteMeasuring
    {
        public void Push(IncomingPacket packet, List<Fact> facts)
        {
            note(packet);
            inner.Push(packet, facts);
        }

        public void Complete(List<Fact> facts) => inner.Complete(facts);
    }
}

/// <summary>The hall's clock follows the simulation, however fast that runs; timers stay those of the system.</summary>
internal sealed class ArrivalClock : TimeProvider
{
    private static readonly DateTimeOffset Zero = new(2027, 3, 1, 16, 0, 0, TimeSpan.Zero);
    private long _ticks;
    private long _setTicks;

    public static SampleTime Start => HallClock.Of(Zero);

    public void SetSimulated(double timeS) => Volatile.Write(ref _ticks, TimeSpan.FromSeconds(timeS).Ticks);

    /// <summary>Somebody sets the host's clock; what is simulated goes on as before.</summary>
    public void SetBy(TimeSpan step) => Interlocked.Add(ref _setTicks, step.Ticks);

    public override DateTimeOffset GetUtcNow() => Zero.AddTicks(Volatile.Read(ref _ticks) + Volatile.Read(ref _setTicks));
}

using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Durability;

/// <summary>Measures a recording again, with its own sensors, options and arrivals: the same facts with the same ids.</summary>
/// <param name="files">With a header.</param>
internal sealed class RecordingReplay(RecordingFiles files)
{
    private const int LargestTransaction = 500;

    private readonly RecordingHeader _header = files.Header ?? throw new ArgumentException("The recording has no header.", nameof(files));

    /// <summary>Packets that were measured so far.</summary>
    public int Packets { get; private set; }

    /// <summary>All facts that have an id, in the order in which they became known; the end of the recording is the last.</summary>
    public IEnumerable<Fact> Facts()
    {
        var athlete = new AthleteId(_header.Athlete);
        var (sensors, options, ledger) = (SessionArchive.Sensors(_header), SessionArchive.Settings(_header.Settings), new DayLedger());
        var facts = new List<Fact>();
        AthleteMeasuring? measuring = null;
        var last = new SampleTime(_header.OpenedUs);
        foreach (var packet in files.Packets())
        {
            last = new(packet.ReceivedUs);
            try
            {
                measuring ??= new(athlete, sensors, options, ledger);
                measuring.Push(new(new(packet.Sensor), packet.Bytes, last), facts);
            }
#pragma warning disable CA1031 // as when it was measured first: it begins anew with the next packet
            catch (Exception)
#pragma warning restore CA1031
            {
                measuring = null;
            }

            Packets++;
            foreach (var fact in Kept(facts))
            {
                yield return fact;
            }

            facts.Clear();
        }

        measuring?.Complete(facts);
        foreach (var fact in Kept(facts))
        {
            yield return fact;
        }

        yield return new RecordingEnded(athlete, _header.Id, last);
    }

    /// <summary>Puts the facts into a store; what is there already stays as it is. Nothing is published.</summary>
    /// <param name="store">Where to.</param>
    /// <param name="days">The hall's days.</param>
    /// <param name="stop">Gives up.</param>
    /// <param name="landings">How the hall tells landings apart; null for the defaults.</param>
    /// <returns>New jumps.</returns>
    public async Task<int> IntoAsync(HallStore store, HallDays days, CancellationToken stop, Load.LandingClassOptions? landings = null)
    {
        var classes = new LandingClasses(landings ?? new());
        await classes.RecallAsync(store, _header.OpenedUs, stop);
        var writer = new FactWriter(days, new(), messages: null, TimeProvider.System, classes);
        await store.WriteAsync(transaction => SessionArchive.OpenAsync(transaction, _header), stop);
        var jumps = 0;
        foreach (var some in Facts().Chunk(LargestTransaction))
        {
            jumps += await store.WriteAsync(
                async transaction =>
                {
                    var told = new List<Fact>();
                    foreach (var fact in some)
                    {
                        await writer.WriteAsync(transaction, fact, told);
                    }

                    return told.OfType<JumpMeasured>().Count();
                },
                stop);
        }

        return jumps;
    }

    private IEnumerable<Fact> Kept(List<Fact> facts) => facts
        .Where(fact => fact is not PassingFact)
        .Select(fact => fact is JumpMeasured jump ? jump with { Recording = _header.Id } : fact);
}

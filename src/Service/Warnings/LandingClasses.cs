using Saltograph.Load;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>
/// Class of each landing among the athlete's own, for the event and the store. One caller at a time: the writer of facts.
/// A transaction that is tried again, or a jump that is measured again after a crash, gets the class it had.
/// </summary>
internal sealed class LandingClasses(LandingClassOptions options)
{
    /// <summary>How far back jumps are looked up at a start, days.</summary>
    public const double RecallDays = 35;

    private const int Remembered = 4000; // jumps of one athlete: some weeks

    private readonly LandingClassifier _classifier = new(options);
    private readonly Dictionary<string, Known> _athletes = new(StringComparer.Ordinal);

    /// <summary>The class, as events spell it: <c>unmeasured</c>, <c>learning</c>, <c>soft</c>, <c>normal</c>, <c>firm</c>, <c>hard</c> or <c>saturated</c>.</summary>
    public string Of(JumpRow row)
    {
        if (!_athletes.TryGetValue(row.Athlete, out var known))
        {
            _athletes[row.Athlete] = known = new();
        }

        if (known.Classes.TryGetValue(row.Id, out var before))
        {
            return before;
        }

        var found = WarningJson.Word(_classifier.Classify(CountedJumps.Of(row)).Class);
        known.Add(row.Id, found);
        return found;
    }

    /// <summary>Learns from the stored jumps before a time.</summary>
    public async Task RecallAsync(HallStore store, long beforeUs, CancellationToken stop)
    {
        await foreach (var row in StoredJumps.ReadAsync(store, beforeUs, stop))
        {
            Of(row);
        }
    }

    private sealed class Known
    {
        private readonly Queue<string> _order = [];

        public Dictionary<string, string> Classes { get; } = new(StringComparer.Ordinal);

        public void Add(string id, string found)
        {
            if (_order.Count == Remembered)
            {
                Classes.Remove(_order.Dequeue());
            }

            _order.Enqueue(id);
            Classes[id] = found;
        }
    }
}

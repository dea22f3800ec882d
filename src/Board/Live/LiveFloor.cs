using Saltograph.Board.Records;
using Saltograph.Imu;
using Saltograph.Load;

namespace Saltograph.Board.Live;

/// <summary>
/// What is known of everybody on the floor. The service tells it; screens look at <see cref="Frame"/> and are told at each tick. Any thread.
/// </summary>
public sealed class LiveFloor(TimeProvider time, IReadOnlyList<WornSensors> roster)
{
    /// <summary>Silence after which a card says that it is stale.</summary>
    public static readonly TimeSpan StaleAfter = TimeSpan.FromSeconds(5);

    private static readonly TimeSpan HeardWithin = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1);
    private const int NewsKept = 20;

    private readonly Lock _gate = new();
    private readonly SortedDictionary<string, Place> _places = new(
        roster.ToDictionary(worn => worn.Athlete, worn => new Place(worn), StringComparer.Ordinal), StringComparer.Ordinal);
    private readonly Queue<(long, string, string)> _news = new();
    private long _newsNumber;
    private FloorFrame? _frame;

    /// <summary>Everybody on the roster, in order.</summary>
    public IEnumerable<string> Athletes => _places.Keys;

    /// <summary>A tick: a new frame is there. Called ten times a second while somebody listens.</summary>
    public event EventHandler? Ticked;

    /// <summary>The floor as it is; drawn now when nobody listens.</summary>
    public FloorFrame Frame => _frame ?? Draw();

    /// <summary>Motion of an athlete, and who of her sensors was heard.</summary>
    public void Moved(string athlete, IReadOnlyList<MotionBin> bins, IReadOnlyCollection<Site> heard) => With(athlete, place =>
    {
        place.Strip.Add(bins);
        var now = time.GetUtcNow();
        foreach (var site in heard)
        {
            place.Heard[(int)site] = now;
        }
    });

    /// <summary>First word of a landing.</summary>
    public void Landed(string athlete, LandingGlimpse landing) => With(athlete, place =>
    {
        if (landing.LandingUs > (place.Card.Jump?.Sheet.LandingUs ?? 0))
        {
            place.Card = place.Card with { Landing = landing };
        }
    });

    /// <summary>A complete jump.</summary>
    public void Jumped(string athlete, string id, JumpSheet sheet) => With(athlete, place =>
    {
        if (sheet.LandingUs <= place.Card.Jump?.Sheet.LandingUs)
        {
            return;
        }

        place.Card = place.Card with
        {
            Jump = new(id, sheet, null),
            Landing = place.Card.Landing?.LandingUs > sheet.LandingUs + 200_000 ? place.Card.Landing : null,
            Hour = [.. Recent(place.Card.Hour), new(id, sheet.LandingUs, sheet.Number("heightM") ?? 0, false)],
        };
    });

    /// <summary>How the landing of a jump compares with her own.</summary>
    public void Classified(string athlete, string id, LandingClass landing) => With(athlete, place =>
    {
        var card = place.Card;
        place.Card = card with
        {
            Jump = card.Jump?.Id == id ? card.Jump with { Class = landing } : card.Jump,
            Hour = landing < LandingClass.Hard ? card.Hour : [.. card.Hour.Select(point => point.Id == id ? point with { IsHard = true } : point)],
        };
    });

    /// <summary>Counts of today.</summary>
    public void Counted(string athlete, DayCount count) => With(athlete, place => place.Card = place.Card with { Count = count });

    /// <summary>The plan of today; null when there is none.</summary>
    public void Planned(string athlete, DayPlan? plan) => With(athlete, place => place.Card = place.Card.Plan == plan ? place.Card : place.Card with { Plan = plan });

    /// <summary>The warnings of an athlete that wait for staff.</summary>
    public void Warned(string athlete, IReadOnlyList<OpenWarning> open) => With(
        athlete, place => place.Card = open.SequenceEqual(place.Card.Warnings) ? place.Card : place.Card with { Warnings = open });

    /// <summary>Forgets everything of an athlete; she begins as somebody of whom nothing was heard.</summary>
    public void Forget(string athlete)
    {
        lock (_gate)
        {
            if (_places.TryGetValue(athlete, out var place))
            {
                _places[athlete] = new(place.Worn);
                var others = _news.Where(news => news.Item2 != athlete).ToList();
                _news.Clear();
                others.ForEach(_news.Enqueue);
            }
        }
    }

    /// <summary>Tells everybody who looks, once: a warning was raised.</summary>
    /// <param name="athlete">Whom it is about.</param>
    /// <param name="text">What is said of her.</param>
    public void Announce(string athlete, string text)
    {
        lock (_gate)
        {
            _news.Enqueue((++_newsNumber, athlete, text));
            if (_news.Count > NewsKept)
            {
                _news.Dequeue();
            }
        }
    }

    /// <summary>Draws the next frame and tells those who listen; does nothing when nobody does.</summary>
    public void Tick()
    {
        if (Ticked is { } ticked)
        {
            _frame = Draw();
            ticked(this, EventArgs.Empty);
        }
        else
        {
            _frame = null;
        }
    }

    private FloorFrame Draw()
    {
        lock (_gate)
        {
            var now = time.GetUtcNow();
            return new(now, [.. _places.Values.Select(place => place.Draw(now))], [.. _news]);
        }
    }

    private void With(string athlete, Action<Place> change)
    {
        lock (_gate)
        {
            if (_places.TryGetValue(athlete, out var place))
            {
                change(place);
            }
        }
    }

    private IEnumerable<HourPoint> Recent(IReadOnlyList<HourPoint> points)
    {
        var from = (time.GetUtcNow() - Hour - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond;
        return points.Where(point => point.LandingUs >= from);
    }

    private sealed class Place(WornSensors worn)
    {
        public WornSensors Worn => worn;

        public StripSweep Strip { get; } = new();

        public DateTimeOffset?[] Heard { get; } = new DateTimeOffset?[Sites.Count];

        public FloorCard Card { get; set; } = new() { Athlete = worn.Athlete, Sensors = [.. worn.Sites.Select(site => (site, false))] };

        public FloorPlace Draw(DateTimeOffset now)
        {
            var last = Heard.Max();
            var sensors = worn.Sites.Select(site => (site, Heard[(int)site] is { } heard && now - heard <= HeardWithin)).ToArray();
            var stale = last is null || now - last > StaleAfter;
            if (stale != Card.IsStale || !sensors.SequenceEqual(Card.Sensors))
            {
                Card = Card with
                {
                    Sensors = sensors,
                    IsStale = stale,
                    LastHeardUs = last is { } known ? (known - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond : null,
                };
            }

            return new(Card, Strip.Frame());
        }
    }
}

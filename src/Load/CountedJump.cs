using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Which feet leave and which land.</summary>
public enum ElementForm
{
    /// <summary>One foot to the other.</summary>
    Leap,

    /// <summary>One foot to the same.</summary>
    Hop,

    /// <summary>Two feet to two.</summary>
    Jump,

    /// <summary>One foot to two.</summary>
    Assemble,

    /// <summary>Two feet to one.</summary>
    Sissonne,
}

/// <summary>The leg, or legs, of a contact.</summary>
public enum Leg
{
    /// <summary>Left.</summary>
    Left,

    /// <summary>Right.</summary>
    Right,

    /// <summary>Both.</summary>
    Both,
}

/// <summary>Landing shock at one site.</summary>
/// <param name="ShockG">Largest magnitude of specific force after contact, standard gravities; above 0. A lower bound when saturated.</param>
/// <param name="Saturated">The sensor was at its rail: the shock was at least this.</param>
public readonly record struct SiteShock(double ShockG, bool Saturated);

/// <summary>One measured jump, with what load and warnings need of it. What was not measured is null.</summary>
public sealed record CountedJump
{
    /// <summary>Id of the jump's event, repeatable; the same id twice counts once.</summary>
    public required string Id { get; init; }

    /// <summary>Who jumped, by pseudonym.</summary>
    public required AthleteId Athlete { get; init; }

    /// <summary>First contact, UTC since 1970.</summary>
    public required SampleTime LandingTime { get; init; }

    /// <summary>Which feet left and landed.</summary>
    public ElementForm? Form { get; init; }

    /// <summary>Leg of the last contact before the flight.</summary>
    public Leg? TakeoffLeg { get; init; }

    /// <summary>Leg of the first contact after it.</summary>
    public Leg? LandingLeg { get; init; }

    /// <summary>Apparatus in hand, a word of the hall such as <c>ball</c>; null for none or not known.</summary>
    public string? Apparatus { get; init; }

    /// <summary>Rise of the centre of mass, m.</summary>
    public double? HeightM { get; init; }

    /// <summary>Standard uncertainty of the height (k = 1), m.</summary>
    public double? HeightUncertaintyM { get; init; }

    /// <summary>Flight time, s.</summary>
    public double? FlightTimeS { get; init; }

    /// <summary>Contact before this jump, s; null outside a series.</summary>
    public double? ContactTimeS { get; init; }

    /// <summary>Turn in the air, deg, to the left positive.</summary>
    public double? TurnFlightDeg { get; init; }

    /// <summary>Landing shock at the lower back.</summary>
    public SiteShock? TrunkShock { get; init; }

    /// <summary>Landing shock at the left shank.</summary>
    public SiteShock? AnkleLeftShock { get; init; }

    /// <summary>Landing shock at the right shank.</summary>
    public SiteShock? AnkleRightShock { get; init; }

    /// <summary>First contact to the trunk's lowest point, s.</summary>
    public double? AbsorptionTimeS { get; init; }

    /// <summary>The element: what jumps must share to be compared.</summary>
    public Element Element => new(Form, LandingLeg, Apparatus, HalfTurns);

    /// <summary>Turn in the air to the nearest half turn, without its side; null when not measured.</summary>
    public int? HalfTurns => TurnFlightDeg is { } turn ? (int)Math.Round(Math.Abs(turn) / 180) : null;

    /// <summary>Shock at a site.</summary>
    public SiteShock? ShockAt(Site site) => site switch
    {
        Site.Trunk => TrunkShock,
        Site.AnkleLeft => AnkleLeftShock,
        _ => AnkleRightShock,
    };

    /// <summary>
    /// Shock at the ankle that landed, the larger of both after a landing on two feet or when the leg is not known; null when not measured.
    /// A saturated one goes before an exact one.
    /// </summary>
    public SiteShock? LandingShock => LandingLeg switch
    {
        Leg.Left => AnkleLeftShock,
        Leg.Right => AnkleRightShock,
        _ => Larger(AnkleLeftShock, AnkleRightShock),
    };

    private static SiteShock? Larger(SiteShock? a, SiteShock? b) => (a, b) switch
    {
        (null, _) => b,
        (_, null) => a,
        ({ Saturated: true }, { Saturated: false }) => a,
        ({ Saturated: false }, { Saturated: true }) => b,
        _ => a.Value.ShockG >= b.Value.ShockG ? a : b,
    };
}

/// <summary>What jumps must share to be compared with each other.</summary>
/// <param name="Form">Which feet left and landed.</param>
/// <param name="LandingLeg">Leg that landed.</param>
/// <param name="Apparatus">Apparatus in hand: throwing and catching lowers jumps (Mkaouer, Amara and Tabka 2012).</param>
/// <param name="HalfTurns">Half turns in the air.</param>
public readonly record struct Element(ElementForm? Form, Leg? LandingLeg, string? Apparatus, int? HalfTurns);

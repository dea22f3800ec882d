using System.Text.Json;
using Saltograph.Board.Records;
using Saltograph.Imu;
using Saltograph.Load;

namespace Saltograph.Board.Live;

/// <summary>Who wears which sensors.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Sites">Where she wears one.</param>
public sealed record WornSensors(string Athlete, IReadOnlyList<Site> Sites);

/// <summary>Counts of today.</summary>
/// <param name="Jumps">Jumps.</param>
/// <param name="LeftLandings">Landings on the left leg; those on both count for both.</param>
/// <param name="RightLandings">Landings on the right leg likewise.</param>
/// <param name="UnknownLandings">Landings whose leg is not known.</param>
public sealed record DayCount(long Jumps, long LeftLandings, long RightLandings, long UnknownLandings);

/// <summary>The plan of today; what is null is not limited.</summary>
/// <param name="Jumps">Most jumps.</param>
/// <param name="LeftLandings">Most landings on the left leg.</param>
/// <param name="RightLandings">Most landings on the right leg.</param>
public sealed record DayPlan(int? Jumps, int? LeftLandings, int? RightLandings)
{
    private static readonly DayPlan Nothing = new(null, null, null);

    /// <summary>Reads the limits of a stored plan, JSON; what cannot be read is not limited here (the rules tell the fault).</summary>
    public static DayPlan Read(string limits)
    {
        try
        {
            return JsonSerializer.Deserialize<DayPlan>(limits, JsonSerializerOptions.Web) ?? Nothing;
        }
        catch (JsonException)
        {
            return Nothing;
        }
    }
}

/// <summary>A landing that was just felt, before its jump is worked out.</summary>
/// <param name="LandingUs">First contact, us since 1970.</param>
/// <param name="FlightTimeS">Flight time, s.</param>
/// <param name="Foot"><c>left</c>, <c>right</c>, <c>both</c> or null.</param>
public sealed record LandingGlimpse(long LandingUs, double FlightTimeS, string? Foot);

/// <summary>A jump as the floor shows it.</summary>
/// <param name="Id">Id of its event.</param>
/// <param name="Sheet">What was measured.</param>
/// <param name="Class">How the landing compares with her own.</param>
public sealed record ShownJump(string Id, JumpSheet Sheet, LandingClass? Class);

/// <summary>A point of the hour line.</summary>
/// <param name="Id">Id of the jump.</param>
/// <param name="LandingUs">First contact, us since 1970.</param>
/// <param name="HeightM">Height, m.</param>
/// <param name="IsHard">Whether the landing was hard or saturated.</param>
public readonly record struct HourPoint(string Id, long LandingUs, double HeightM, bool IsHard);

/// <summary>A warning that waits for staff.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Priority">As the rules name it.</param>
/// <param name="Text">One sentence.</param>
public sealed record OpenWarning(string Id, string Priority, string Text);

/// <summary>One athlete's card, without what moves ten times a second. The same object while nothing of it has changed.</summary>
public sealed record FloorCard
{
    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>Her last jump; null before the first.</summary>
    public ShownJump? Jump { get; init; }

    /// <summary>A landing later than <see cref="Jump"/>; null when there is none.</summary>
    public LandingGlimpse? Landing { get; init; }

    /// <summary>Counts of today.</summary>
    public DayCount Count { get; init; } = new(0, 0, 0, 0);

    /// <summary>Plan of today; null when none was entered.</summary>
    public DayPlan? Plan { get; init; }

    /// <summary>Sites with a sensor, and whether it was heard in the last two seconds.</summary>
    public IReadOnlyList<(Site Site, bool IsHeard)> Sensors { get; init; } = [];

    /// <summary>Whether nothing was heard of her for longer than <see cref="LiveFloor.StaleAfter"/>.</summary>
    public bool IsStale { get; init; } = true;

    /// <summary>When something was heard last, us since 1970; null for never.</summary>
    public long? LastHeardUs { get; init; }

    /// <summary>Warnings that wait for staff.</summary>
    public IReadOnlyList<OpenWarning> Warnings { get; init; } = [];

    /// <summary>Jumps of the last hour, oldest first.</summary>
    public IReadOnlyList<HourPoint> Hour { get; init; } = [];
}

/// <summary>One athlete at one tick.</summary>
/// <param name="Card">What changes seldom.</param>
/// <param name="Strip">What moves.</param>
public sealed record FloorPlace(FloorCard Card, StripFrame Strip);

/// <summary>The whole floor at one tick; made once for all who look.</summary>
/// <param name="Now">When.</param>
/// <param name="Places">In the order of the pseudonyms, always.</param>
/// <param name="News">Warnings that were raised since the service began, newest last.</param>
public sealed record FloorFrame(DateTimeOffset Now, IReadOnlyList<FloorPlace> Places, IReadOnlyList<(long Number, string Athlete, string Text)> News);

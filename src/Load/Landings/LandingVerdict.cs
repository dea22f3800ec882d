using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Class of a landing, in rising order. It says how a landing compares with her own, and nothing about injury.</summary>
public enum LandingClass
{
    /// <summary>No shock was measured.</summary>
    Unmeasured,

    /// <summary>Too few landings of this site, form and leg to compare with.</summary>
    Learning,

    /// <summary>Below her median, and absorbed longer than her median.</summary>
    Soft,

    /// <summary>None of the others.</summary>
    Normal,

    /// <summary>Among her firmest.</summary>
    Firm,

    /// <summary>Far above her median and beyond the error of measurement, or above the cap that staff set.</summary>
    Hard,

    /// <summary>The sensor was at its rail: at least hard.</summary>
    Saturated,
}

/// <summary>The landing as one site felt it.</summary>
/// <param name="Site">Where.</param>
/// <param name="Shock">What was measured; null for nothing.</param>
/// <param name="Class">Its class.</param>
/// <param name="Landings">Landings it was compared with.</param>
/// <param name="MedianG">Their median, g; null while learning.</param>
/// <param name="HardAboveG">Shock above which a landing was hard by deviation and error, g (the top share may say so below it); null while learning.</param>
public sealed record SiteLanding(Site Site, SiteShock? Shock, LandingClass Class, int Landings, double? MedianG, double? HardAboveG);

/// <summary>One landing.</summary>
/// <param name="Jump">The jump.</param>
/// <param name="Class">The worst class of the ankles that landed; the trunk's when no ankle was measured, since a pelvis ranks elements otherwise than a shank.</param>
/// <param name="Sites">The trunk, and each ankle that landed.</param>
public sealed record LandingVerdict(CountedJump Jump, LandingClass Class, IReadOnlyList<SiteLanding> Sites)
{
    /// <summary>Hard or saturated.</summary>
    public bool IsHard => Class >= LandingClass.Hard;

    /// <summary>Whether anything was measured.</summary>
    public bool IsMeasured => Class != LandingClass.Unmeasured;
}

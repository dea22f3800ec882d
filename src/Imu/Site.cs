namespace Saltograph.Imu;

/// <summary>Where a sensor sits on the body.</summary>
public enum Site
{
    /// <summary>Lower back, over the sacrum.</summary>
    Trunk = 0,

    /// <summary>Left shank, just above the outer ankle bone.</summary>
    AnkleLeft = 1,

    /// <summary>Right shank, just above the outer ankle bone.</summary>
    AnkleRight = 2,
}

/// <summary>The sites in their fixed order, and their names in files, topics and configuration.</summary>
public static class Sites
{
    /// <summary>How many sites there are.</summary>
    public const int Count = 3;

    private static readonly string[] Names = ["trunk", "ankle-left", "ankle-right"];

    /// <summary>The name used outside the program.</summary>
    public static string Name(this Site site) => Names[(int)site];

    /// <summary>Finds a site by its name; false when there is none.</summary>
    public static bool TryParse(string? name, out Site site)
    {
        var index = Array.IndexOf(Names, name);
        site = index < 0 ? Site.Trunk : (Site)index;
        return index >= 0;
    }
}

namespace Saltograph.Testing;

/// <summary>Finds the checkout and what may lie beside it.</summary>
public static class Repository
{
    /// <summary>Root folder of the checkout: the nearest folder above the test program that holds the solution.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>Folder of reference data beside the checkout; it is not part of the project and may be absent.</summary>
    public static string Shared { get; } = Path.Combine(Path.GetDirectoryName(Root)!, "shared");

    /// <summary>Why a test that needs the reference data is skipped, or null when the path is there.</summary>
    /// <param name="parts">Path below the folder of reference data.</param>
    public static string? SharedMissing(params string[] parts)
    {
        var path = SharedPath(parts);
        return Path.Exists(path) ? null : $"reference data not found: ../shared/{string.Join('/', parts)}";
    }

    /// <summary>Full path of reference data.</summary>
    /// <param name="parts">Path below the folder of reference data.</param>
    public static string SharedPath(params string[] parts) => Path.Combine([Shared, .. parts]);

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "Saltograph.slnx")))
            {
                return folder.FullName;
            }
        }

        throw new InvalidOperationException($"No Saltograph.slnx above {AppContext.BaseDirectory}.");
    }
}

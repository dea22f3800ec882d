namespace Saltograph.Service.Security;

/// <summary>Files that nobody but their owner may read.</summary>
internal static class PrivateFile
{
    /// <summary>Writes one, whole or not at all: a reader sees the old text or the new.</summary>
    public static void Write(string path, string text)
    {
        var fresh = path + ".new";
        File.Delete(fresh);
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        using (var writer = new StreamWriter(fresh, options))
        {
            writer.Write(text);
        }

        File.Move(fresh, path, overwrite: true);
    }
}

using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Service.Results;

/// <summary>Jump records as JSON Lines: one object per line, UTF-8 without a byte order mark, line feeds.</summary>
internal static class JumpLines
{
    /// <summary>Writes a file anew: all of it, or the old one stays.</summary>
    public static void WriteFile(string path, AthleteId athlete, IReadOnlyList<JumpRecord> jumps)
    {
        var unfinished = $"{path}.{Environment.ProcessId}.part";
        try
        {
            using (var file = File.Create(unfinished))
            {
                Write(file, athlete, jumps);
            }

            File.Move(unfinished, path, overwrite: true);
        }
        finally
        {
            File.Delete(unfinished);
        }
    }

    /// <summary>Writes the lines to a stream.</summary>
    public static void Write(Stream stream, AthleteId athlete, IReadOnlyList<JumpRecord> jumps)
    {
        foreach (var jump in jumps)
        {
            using (var json = new Utf8JsonWriter(stream))
            {
                JumpJson.Write(json, athlete, jump, onHallClock: false);
            }

            stream.WriteByte((byte)'\n');
        }
    }
}

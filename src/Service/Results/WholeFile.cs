using System.Text;

namespace Saltograph.Service.Results;

/// <summary>Writes a text file anew: all of it, or the old one stays. UTF-8 without a byte order mark.</summary>
internal static class WholeFile
{
    /// <summary>Throws what writing would throw, before long work is done for nothing; a file that is there stays as it is.</summary>
    public static void Probe(string path)
    {
        var unfinished = $"{path}.{Environment.ProcessId}.part";
        File.WriteAllText(unfinished, "");
        File.Delete(unfinished);
    }

    /// <summary>Writes it.</summary>
    public static void Write(string path, string text)
    {
        var unfinished = $"{path}.{Environment.ProcessId}.part";
        try
        {
            File.WriteAllText(unfinished, text, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
            File.Move(unfinished, path, overwrite: true);
        }
        finally
        {
            File.Delete(unfinished);
        }
    }
}

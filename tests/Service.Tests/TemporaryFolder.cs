namespace Saltograph.Service.Tests;

/// <summary>A folder that goes away with the test.</summary>
public sealed class TemporaryFolder : IDisposable
{
    public string Root { get; } = Directory.CreateTempSubdirectory("saltograph-test-").FullName;

    public string File(string name) => Path.Combine(Root, name);

    public string Write(string name, string text)
    {
        var path = File(name);
        System.IO.File.WriteAllText(path, text);
        return path;
    }

    public void Dispose() => Directory.Delete(Root, recursive: true);
}

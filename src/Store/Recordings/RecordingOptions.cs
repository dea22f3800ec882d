namespace Saltograph.Store.Recordings;

/// <summary>Where recordings are and how they are written.</summary>
public sealed record RecordingOptions
{
    /// <summary>Folder of all recordings; one folder for each athlete in it. Default <c>recordings</c>.</summary>
    public string Folder { get; init; } = "recordings";

    /// <summary>Size at which a further file is begun, bytes; default 64 MiB.</summary>
    public long LargestFileBytes { get; init; } = 64 * 1024 * 1024;

    /// <summary>Whether each write survives a power cut, not only the death of the process; otherwise <see cref="RecordingWriter.Flush"/> does that. Default true.</summary>
    public bool FlushToDisk { get; init; } = true;
}

using Saltograph.Store;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>Which database keeps what was measured.</summary>
internal sealed record StoreSection
{
    /// <summary><c>sqlite</c>: a file of its own; <c>postgresql</c>: a server. Default <c>sqlite</c>.</summary>
    public string Kind { get; init; } = StoreOptions.Sqlite;

    /// <summary>File of the embedded database, from the folder of this file on; default <c>data/saltograph.db</c>.</summary>
    public string File { get; init; } = "data/saltograph.db";

    /// <summary>Host name or IP address of the server; default <c>localhost</c>.</summary>
    public string Host { get; init; } = "localhost";

    /// <summary>TCP port of the server, 1 to 65535; default 5432.</summary>
    public int Port { get; init; } = 5432;

    /// <summary>Database at the server; default <c>saltograph</c>.</summary>
    public string Database { get; init; } = "saltograph";

    /// <summary>User at the server; the password is read from the environment variable SALTOGRAPH_STORE_PASSWORD. Default <c>saltograph</c>.</summary>
    public string UserName { get; init; } = "saltograph";

    /// <summary>As the store wants it.</summary>
    public StoreOptions ToOptions(string? password) => new()
    {
        Kind = Kind,
        File = File,
        Host = Host,
        Port = Port,
        Database = Database,
        UserName = UserName,
        Password = password,
    };
}

/// <summary>How raw packets are recorded.</summary>
internal sealed record RecordingSection
{
    /// <summary>Folder of the recordings, from the folder of this file on; default <c>data/recordings</c>.</summary>
    public string Folder { get; init; } = "data/recordings";

    /// <summary>Size at which a further file is begun, MiB, 1 to 1024; default 64.</summary>
    public int LargestFileMiB { get; init; } = 64;

    /// <summary>Age at which files are deleted, days, 0 to 3650; default 30. 0 keeps them for ever.</summary>
    public double KeepDays { get; init; } = 30;

    /// <summary>Whether packets are sealed with a key of their athlete, which erasing her erases: copies of her recordings cannot be read then. Default false; `replay` of sealed ones needs `--keys`.</summary>
    public bool Sealed { get; init; }

    /// <summary>How long acknowledged packets may be with the operating system only, s, 0 to 60; default 1. They survive the death of the process in any case; a power cut may cost those of this time. 0 puts each on the disk before it is acknowledged.</summary>
    public double FlushIntervalS { get; init; } = 1;

    /// <summary>As the writer wants it.</summary>
    public RecordingOptions ToOptions() => new() { Folder = Folder, LargestFileBytes = LargestFileMiB * 1024L * 1024, FlushToDisk = FlushIntervalS == 0 };
}

namespace Saltograph.Store;

/// <summary>Which database, and where.</summary>
public sealed record StoreOptions
{
    /// <summary>Name of the embedded engine.</summary>
    public const string Sqlite = "sqlite";

    /// <summary>Name of the server engine.</summary>
    public const string PostgreSql = "postgresql";

    /// <summary><see cref="Sqlite"/> or <see cref="PostgreSql"/>; default the first.</summary>
    public string Kind { get; init; } = Sqlite;

    /// <summary>File of the embedded database; its folder is made; default <c>saltograph.db</c>.</summary>
    public string File { get; init; } = "saltograph.db";

    /// <summary>Connection of the server: host name, IP address or folder of the socket; default <c>localhost</c>.</summary>
    public string Host { get; init; } = "localhost";

    /// <summary>TCP port of the server; default 5432.</summary>
    public int Port { get; init; } = 5432;

    /// <summary>Database at the server; default <c>saltograph</c>.</summary>
    public string Database { get; init; } = "saltograph";

    /// <summary>User at the server; default <c>saltograph</c>.</summary>
    public string UserName { get; init; } = "saltograph";

    /// <summary>Password at the server; null for none. Never from a file.</summary>
    public string? Password { get; init; }
}

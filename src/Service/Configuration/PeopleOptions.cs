namespace Saltograph.Service.Configuration;

/// <summary>Who may look, and for how long.</summary>
internal sealed record PeopleOptions
{
    /// <summary>Whether everybody who reaches the HTTP port may look and change, without signing in; default false. Allowed on the loopback address only.</summary>
    public bool Anonymous { get; init; }

    /// <summary>Whether an athlete on the roster is recorded and shown without a consent entered here; default true: who writes the roster answers for it. A consent that was withdrawn here always counts. False: nothing without an entry.</summary>
    public bool ConsentAssumed { get; init; } = true;

    /// <summary>Idle time after which a person has to sign in again, min, 5 to 1440; default 240: a live page that nobody touches does not count as use.</summary>
    public int IdleMinutes { get; init; } = 240;

    /// <summary>Longest time signed in, h, 1 to 168; default 12.</summary>
    public int LongestHours { get; init; } = 12;

    /// <summary>How long a one-time link is good, h, 1 to 168; default 48.</summary>
    public int LinkHours { get; init; } = 48;

    /// <summary>Wrong passwords in a row after which an account rests, 3 to 20; default 5.</summary>
    public int WrongPasswords { get; init; } = 5;

    /// <summary>How long it rests, min, 1 to 1440; default 15.</summary>
    public int RestMinutes { get; init; } = 15;

    /// <summary>Requests of one person or address in a minute, 60 to 100000; default 1200. More are answered with 429.</summary>
    public int RequestsPerMinute { get; init; } = 1200;

    /// <summary>Attempts to sign in from one address in a minute, 1 to 1000; default 10.</summary>
    public int SignInsPerMinute { get; init; } = 10;

    /// <summary>Folder, from the folder of this file on, of the keys that seal names, keys of recordings and cookies; readable by the service only. Default <c>data/keys</c>.</summary>
    public string KeyFolder { get; init; } = "data/keys";

    /// <summary>Certificate (PFX, password in the environment variable SALTOGRAPH_KEY_PASSWORD) that seals those keys themselves; default empty: the folder's rights alone protect them.</summary>
    public string KeyCertificateFile { get; init; } = "";

    /// <summary>Sign-in at a provider of OpenID Connect beside local passwords.</summary>
    public OpenIdOptions OpenId { get; init; } = new();
}

/// <summary>A provider of OpenID Connect. Who signs in there must be known here by the subject: nobody is added by signing in.</summary>
internal sealed record OpenIdOptions
{
    /// <summary>Address of the provider, https, or http on a loopback address; default empty: there is none.</summary>
    public string Authority { get; init; } = "";

    /// <summary>Id of this service there; the secret is read from the environment variable SALTOGRAPH_OPENID_SECRET. Default <c>saltograph</c>.</summary>
    public string ClientId { get; init; } = "saltograph";

    /// <summary>What the button says; default <c>Sign in with the club's account</c>.</summary>
    public string Label { get; init; } = "Sign in with the club's account";
}

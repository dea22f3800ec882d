namespace Saltograph.Service.Configuration;

/// <summary>File <c>service.json</c>: where the service listens and how much it holds.</summary>
internal sealed record ServiceOptions
{
    /// <summary>The hall's id in topics and events; 1 to 32 characters a-z, 0-9 or -; default <c>hall-1</c>.</summary>
    public string Hall { get; init; } = "hall-1";

    /// <summary>IANA time zone whose midnight begins a new day of load; default <c>UTC</c>.</summary>
    public string TimeZone { get; init; } = "UTC";

    /// <summary>The MQTT side.</summary>
    public BrokerOptions Broker { get; init; } = new();

    /// <summary>The HTTP side.</summary>
    public HttpOptions Http { get; init; } = new();

    /// <summary>Who may look.</summary>
    public PeopleOptions People { get; init; } = new();

    /// <summary>The database.</summary>
    public StoreSection Store { get; init; } = new();

    /// <summary>The raw packets.</summary>
    public RecordingSection Recordings { get; init; } = new();

    /// <summary>How long what was measured and entered is kept.</summary>
    public RetentionOptions Retention { get; init; } = new();

    /// <summary>What the service tells about itself.</summary>
    public TelemetryOptions Telemetry { get; init; } = new();

    /// <summary>Ways out for warnings beside MQTT.</summary>
    public TellOptions Tell { get; init; } = new();

    /// <summary>Bounds of queues and waits.</summary>
    public LimitOptions Limits { get; init; } = new();
}

/// <summary>Which broker, and how it is reached.</summary>
internal sealed record BrokerOptions
{
    /// <summary><c>embedded</c>: the service is the broker; <c>external</c>: it is a client of one. Default <c>embedded</c>.</summary>
    public string Kind { get; init; } = Embedded;

    /// <summary>Used when the kind is <c>embedded</c>.</summary>
    public EmbeddedBrokerOptions EmbeddedBroker { get; init; } = new();

    /// <summary>Used when the kind is <c>external</c>.</summary>
    public ExternalBrokerOptions ExternalBroker { get; init; } = new();

    internal const string Embedded = "embedded";
    internal const string External = "external";
}

/// <summary>The broker inside the service.</summary>
internal sealed record EmbeddedBrokerOptions
{
    /// <summary>IP address to listen on; default <c>127.0.0.1</c>, this machine only. Any other needs a certificate.</summary>
    public string Address { get; init; } = "127.0.0.1";

    /// <summary>TCP port, 0 to 65535; 0 takes a free one; default 1883.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Whether everybody may connect, publish for each sensor and read everything; default false. Allowed on the loopback address only; otherwise accounts are made by the verb <c>enrol</c>.</summary>
    public bool Anonymous { get; init; }

    /// <summary>Certificate for TLS 1.2 and 1.3, from the folder of this file on: PEM, or PFX with the password in the environment variable SALTOGRAPH_CERTIFICATE_PASSWORD. Default empty: no TLS.</summary>
    public string CertificateFile { get; init; } = "";

    /// <summary>Private key of a PEM certificate, PEM; empty when the certificate is a PFX file. Default empty.</summary>
    public string CertificateKeyFile { get; init; } = "";

    /// <summary>Authorities, PEM, whose client certificates are accepted instead of a secret, the common name being the account; default empty: none are.</summary>
    public string ClientAuthorityFile { get; init; } = "";

    /// <summary>Largest MQTT packet taken from a client, bytes, 17000 (the largest sensor packet in its message) to 1048576; default 65536. A larger one ends the connection before it is read.</summary>
    public int LargestPacketBytes { get; init; } = 65_536;

    /// <summary>Messages held for one slow or absent subscriber, 10 to 1000000; default 5000. Beyond it new ones are dropped for that subscriber, also at QoS 1.</summary>
    public int PendingMessages { get; init; } = 5000;

    /// <summary>How long events are kept for subscribers whose session died with the process, s, 0 to 604800; default 3600. Who comes back after a restart with a persistent session, within this time and among the first 4096 client ids, gets them again.</summary>
    public double RepublishS { get; init; } = 3600;

    /// <summary>How long the session of an absent client is kept at most, s, 60 to 604800; default 86400. A client that asked for less gets less.</summary>
    public double AbsentSessionS { get; init; } = 86_400;

    /// <summary>Sessions kept for absent clients, 1 to 10000; default 50. Of more, the one whose client is away longest is ended.</summary>
    public int AbsentSessions { get; init; } = 50;
}

/// <summary>An MQTT 5 broker elsewhere.</summary>
internal sealed record ExternalBrokerOptions
{
    /// <summary>Host name or IP address; default <c>localhost</c>.</summary>
    public string Host { get; init; } = "localhost";

    /// <summary>TCP port, 1 to 65535; default 1883.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>User name, or empty for none; the password is read from the environment variable SALTOGRAPH_BROKER_PASSWORD. Default empty.</summary>
    public string UserName { get; init; } = "";

    /// <summary>Authorities, PEM, from the folder of this file on, that the broker's certificate must come from: TLS is used. Default empty: no TLS.</summary>
    public string AuthorityFile { get; init; } = "";

    /// <summary>How long the broker keeps what arrives while the service is away, s, 0 to 604800; default 3600.</summary>
    public int SessionExpiryS { get; init; } = 3600;

    /// <summary>Packets that may be in work, unacknowledged, at one time, 1 to 65535; default 256. The broker waits beyond it.</summary>
    public int ReceiveMaximum { get; init; } = 256;

    /// <summary>Keep-alive, s, 1 to 3600; default 30. A dead connection is noticed after one and a half of it.</summary>
    public int KeepAliveS { get; init; } = 30;

    /// <summary>Wait before the first attempt to reconnect, s, 0.01 to 60; default 0.25. It doubles with each failure, and a random half of it is taken off.</summary>
    public double ReconnectFirstS { get; init; } = 0.25;

    /// <summary>Longest wait between two attempts, s, at least the first and at most 600; default 15.</summary>
    public double ReconnectLongestS { get; init; } = 15;
}

/// <summary>The HTTP endpoints.</summary>
internal sealed record HttpOptions
{
    /// <summary>IP address to listen on; default <c>127.0.0.1</c>, this machine only.</summary>
    public string Address { get; init; } = "127.0.0.1";

    /// <summary>TCP port, 0 to 65535; 0 takes a free one; default 5080.</summary>
    public int Port { get; init; } = 5080;

    /// <summary>Certificate for TLS 1.2 and 1.3, from the folder of this file on: PEM, or PFX with the password in the environment variable SALTOGRAPH_CERTIFICATE_PASSWORD. Default empty: no TLS.</summary>
    public string CertificateFile { get; init; } = "";

    /// <summary>Private key of a PEM certificate, PEM; empty when the certificate is a PFX file. Default empty.</summary>
    public string CertificateKeyFile { get; init; } = "";

    /// <summary>Whether a proxy in front ends TLS and reaches the service without; default false. An address that is not loopback needs this or a certificate.</summary>
    public bool TlsElsewhere { get; init; }

    /// <summary>Host names under which the service is reached, with commas between, beside <c>localhost</c> and loopback addresses; requests for others are refused. Default empty: none.</summary>
    public string Hosts { get; init; } = "";
}

/// <summary>What the service tells about itself, besides its logs and <c>/metrics</c>.</summary>
internal sealed record TelemetryOptions
{
    /// <summary>Address of an OTLP collector (gRPC) that gets a trace of each packet and of each jump, such as http://127.0.0.1:4317; default empty: no traces.</summary>
    public string TracesTo { get; init; } = "";
}

/// <summary>Bounds of queues and waits. Nothing grows without one.</summary>
internal sealed record LimitOptions
{
    /// <summary>Packets that may wait for one athlete, 1 to 100000; default 512. More are refused and counted; with acknowledged packets the senders wait first.</summary>
    public int AthletePackets { get; init; } = 512;

    /// <summary>Facts that may wait for the store, and events on their way to a broker, 10 to 1000000 each; default 10000. More facts let the measuring wait, and with it the senders; more events wait in the store.</summary>
    public int WaitingEvents { get; init; } = 10_000;

    /// <summary>Silence after which an athlete's session ends and the next packet begins a new one, s, 60 to 86400; default 1800.</summary>
    public double SessionGapS { get; init; } = 1800;

    /// <summary>Longest time for finishing all queues after a stop signal, s, 1 to 300; default 15.</summary>
    public double DrainS { get; init; } = 15;
}

using System.Globalization;
using System.Net;
using Saltograph.Imu;
using Saltograph.Service.Recordings;
using Saltograph.Store;

namespace Saltograph.Service.Configuration;

/// <summary>What <c>service.json</c> may hold.</summary>
internal static class ServiceOptionsRules
{
    /// <summary>Every fault of the options; none when they may be used.</summary>
    /// <param name="options">The options.</param>
    /// <param name="file">The file they came from, for the messages.</param>
    public static IEnumerable<InputFault> Faults(ServiceOptions options, string file)
    {
        var check = new Check(file);
        check.That(IdText.IsValid(options.Hall), "hall", options.Hall, IdText.Allowed);
        check.That(TimeZoneInfo.TryFindSystemTimeZoneById(options.TimeZone, out _), "timeZone", options.TimeZone, "an IANA time zone known to this machine, such as UTC");

        var broker = options.Broker;
        check.That(broker.Kind is BrokerOptions.Embedded or BrokerOptions.External, "broker.kind", broker.Kind, $"{BrokerOptions.Embedded} or {BrokerOptions.External}");
        check.Address("broker.embeddedBroker.address", broker.EmbeddedBroker.Address);
        var isLoopback = IsLoopback(broker.EmbeddedBroker.Address);
        check.That(!broker.EmbeddedBroker.Anonymous || isLoopback, "broker.embeddedBroker.anonymous", $"true on {broker.EmbeddedBroker.Address}", "true on a loopback address only");
        check.That(
            broker.Kind != BrokerOptions.Embedded || isLoopback || broker.EmbeddedBroker.CertificateFile.Length > 0,
            "broker.embeddedBroker.certificateFile",
            "",
            "a certificate, when the address is not loopback: secrets must not travel in the clear");
        check.That(
            broker.EmbeddedBroker.CertificateFile.Length > 0 || (broker.EmbeddedBroker.CertificateKeyFile.Length == 0 && broker.EmbeddedBroker.ClientAuthorityFile.Length == 0),
            "broker.embeddedBroker.certificateFile",
            "",
            "a certificate, when there is certificateKeyFile or clientAuthorityFile");
        check.Between("broker.embeddedBroker.port", broker.EmbeddedBroker.Port, 0, 65_535);
        check.Between("broker.embeddedBroker.largestPacketBytes", broker.EmbeddedBroker.LargestPacketBytes, 17_000, 1_048_576);
        check.Between("broker.embeddedBroker.pendingMessages", broker.EmbeddedBroker.PendingMessages, 10, 1_000_000);

        var external = broker.ExternalBroker;
        check.That(external.Host.Length > 0, "broker.externalBroker.host", "nothing", "a host name or IP address");
        check.Between("broker.externalBroker.port", external.Port, 1, 65_535);
        check.Between("broker.externalBroker.sessionExpiryS", external.SessionExpiryS, 0, 604_800);
        check.Between("broker.externalBroker.receiveMaximum", external.ReceiveMaximum, 1, 65_535);
        check.Between("broker.externalBroker.keepAliveS", external.KeepAliveS, 1, 3600);
        check.Between("broker.externalBroker.reconnectFirstS", external.ReconnectFirstS, 0.01, 60);
        check.Between("broker.externalBroker.reconnectLongestS", external.ReconnectLongestS, external.ReconnectFirstS, 600);

        check.Between("broker.embeddedBroker.republishS", broker.EmbeddedBroker.RepublishS, 0, 604_800);
        check.Between("broker.embeddedBroker.absentSessionS", broker.EmbeddedBroker.AbsentSessionS, 60, 604_800);
        check.Between("broker.embeddedBroker.absentSessions", broker.EmbeddedBroker.AbsentSessions, 1, 10_000);
        check.That(options.Store.Kind is StoreOptions.Sqlite or StoreOptions.PostgreSql, "store.kind", options.Store.Kind, $"{StoreOptions.Sqlite} or {StoreOptions.PostgreSql}");
        check.That(options.Store.File.Length > 0, "store.file", "nothing", "a file name");
        check.That(options.Store.Host.Length > 0, "store.host", "nothing", "a host name or IP address");
        check.Between("store.port", options.Store.Port, 1, 65_535);
        check.That(options.Store.Database.Length > 0, "store.database", "nothing", "the name of a database");
        check.That(options.Recordings.Folder.Length > 0, "recordings.folder", "nothing", "a folder");
        check.Between("recordings.largestFileMiB", options.Recordings.LargestFileMiB, 1, 1024);
        check.Between("recordings.flushIntervalS", options.Recordings.FlushIntervalS, 0, 60);
        check.Between("recordings.keepDays", options.Recordings.KeepDays, 0, 3650);

        foreach (var (key, found, allowed) in options.Tell.Faults())
        {
            check.That(false, key, found, allowed);
        }

        check.Between("tell.mailPort", options.Tell.MailPort, 1, 65_535);
        check.Between("tell.attempts", options.Tell.Attempts, 1, 20);
        check.Between("tell.firstWaitS", options.Tell.FirstWaitS, 0.01, 60);
        check.That(options.Tell.NotToldFile.Length > 0, "tell.notToldFile", "nothing", "a file name");

        check.Address("http.address", options.Http.Address);
        check.Between("http.port", options.Http.Port, 0, 65_535);
        PeopleRules.Check(options, check);

        check.That(
            options.Telemetry.TracesTo.Length == 0 || (Uri.TryCreate(options.Telemetry.TracesTo, UriKind.Absolute, out var traces) && traces.Scheme is "http" or "https"),
            "telemetry.tracesTo",
            options.Telemetry.TracesTo,
            "an address that begins with http:// or https://");
        check.Between("limits.athletePackets", options.Limits.AthletePackets, 1, 100_000);
        check.That(
            broker.Kind != BrokerOptions.External || external.ReceiveMaximum <= options.Limits.AthletePackets,
            "broker.externalBroker.receiveMaximum",
            external.ReceiveMaximum.ToString(CultureInfo.InvariantCulture),
            "at most limits.athletePackets, or a packet in work could find no room");
        check.Between("limits.waitingEvents", options.Limits.WaitingEvents, 10, 1_000_000);
        check.Between("limits.sessionGapS", options.Limits.SessionGapS, 60, 86_400);
        check.Between("limits.drainS", options.Limits.DrainS, 1, 300);
        return check.Faults;
    }

    internal static bool IsLoopback(string text) => IPAddress.TryParse(text, out var address) && IPAddress.IsLoopback(address);

    internal sealed class Check(string file)
    {
        public List<InputFault> Faults { get; } = [];

        public void That(bool right, string key, string found, string allowed)
        {
            if (!right)
            {
                Faults.Add(new(file, $"'{found}'", allowed, null, key));
            }
        }

        public void Address(string key, string found) => That(IPAddress.TryParse(found, out _), key, found, "an IP address, such as 127.0.0.1");

        // "Not inside", so that NaN fails as well.
        public void Between(string key, double found, double lowest, double highest) => That(
            found >= lowest && found <= highest,
            key,
            found.ToString(CultureInfo.InvariantCulture),
            string.Create(CultureInfo.InvariantCulture, $"{lowest} to {highest}"));
    }
}

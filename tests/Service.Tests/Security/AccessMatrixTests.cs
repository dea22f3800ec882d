using System.Buffers;
using System.Collections.Concurrent;
using System.Text;
using System.Text.RegularExpressions;
using Microsoft.Extensions.DependencyInjection;
using MQTTnet;
using MQTTnet.Protocol;
using Saltograph.Service.Configuration;
using Saltograph.Service.Hosting;
using Saltograph.Service.Ingest;
using Saltograph.Service.Security;
using Saltograph.Service.Tests.Faults;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Security;

/// <summary>
/// Every topic against every kind of client and against none, with real connections over TLS: the same table for the
/// embedded broker and for Mosquitto with the shipped configuration and the files that the verb writes.
/// </summary>
public sealed class AccessMatrixTests : IAsyncLifetime
{
    private const string End = "end";

    // Written out, not computed: the rules of the program must come to the same. w may publish, r gets what is published there.
    private const string Expected = """
        topic                                      a-trunk b-trunk board nobody gone wrong
        saltograph/v1/test-hall/sensors/a-trunk/samples      w - - - - -
        saltograph/v1/test-hall/sensors/a-trunk/state        w - - - - -
        saltograph/v1/test-hall/sensors/a-trunk/clock        w - - - - -
        saltograph/v1/test-hall/sensors/a-trunk/clock/answer r - - - - -
        saltograph/v1/test-hall/sensors/b-trunk/samples      - w - - - -
        saltograph/v1/test-hall/sensors/b-trunk/state        - w - - - -
        saltograph/v1/test-hall/sensors/b-trunk/clock        - w - - - -
        saltograph/v1/test-hall/sensors/b-trunk/clock/answer - r - - - -
        saltograph/v1/test-hall/athletes/amber/landings      - - r - - -
        saltograph/v1/test-hall/athletes/amber/jumps         - - r - - -
        saltograph/v1/test-hall/athletes/amber/load          - - r - - -
        saltograph/v1/test-hall/athletes/amber/warnings      - - r - - -
        saltograph/v1/test-hall/athletes/amber/live          - - r - - -
        saltograph/v1/test-hall/athletes/beryl/jumps         - - r - - -
        saltograph/v1/other-hall/sensors/a-trunk/samples     - - - - - -
        saltograph/v1/other-hall/athletes/amber/jumps        - - - - - -
        saltograph/v2/test-hall/athletes/amber/jumps         - - - - - -
        anything                                             - - - - - -
        """;

    private readonly TemporaryFolder _folder = new();
    private readonly TestCertificates _certificates = new();
    private readonly Dictionary<string, string> _secrets = new(StringComparer.Ordinal);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _certificates.WriteAuthority(_folder.File("authority.crt"));
        _certificates.WriteServer(_folder.File("server.crt"), _folder.File("server.key"));
        _folder.Write("service.json", $"{{ \"hall\": \"{TestHall.Hall}\" }}");
        _folder.Write("thresholds.json", "{}");
        File.WriteAllText(_folder.File("roster.json"), System.Text.Json.JsonSerializer.Serialize(TestHall.Roster, System.Text.Json.JsonSerializerOptions.Web));
        await EnrolAsync("a-trunk");
        await EnrolAsync("b-trunk");
        await EnrolAsync("gone");
        await EnrolAsync("board", "--kind", "reader");
        await EnrolAsync("board-2", "--kind", "reader");
        await EnrolAsync("saltograph", "--kind", "service");
        Assert.Equal(0, (await Cli.RunAsync("revoke", "gone", "--config", _folder.Root)).ExitCode);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Every_topic_is_open_to_whom_it_is_meant_for_and_to_nobody_else(bool mosquitto)
    {
        await using var broker = mosquitto ? await Mosquitto.StartShippedAsync(_folder) : null;
        await using var host = await StartHostAsync(broker?.Port);
        var port = broker?.Port ?? host.MqttPort;
        var topics = Expected.Split('\n').Skip(1).Select(line => line.Trim().Split(' ')[0]).ToList();
        var names = new[] { "a-trunk", "b-trunk", "board", "nobody", "gone", "wrong" };
        var clients = new List<Client?>();
        foreach (var name in names)
        {
            clients.Add(await ConnectAsync(port, name));
        }

        foreach (var client in clients.OfType<Client>())
        {
            foreach (var filter in topics.Concat(["#", "saltograph/#", "saltograph/v1/+/sensors/#", "saltograph/v1/+/athletes/#", "saltograph/v1/test-hall/sensors/+/clock/answer"]))
            {
                await client.Mqtt.SubscribeAsync(filter, MqttQualityOfServiceLevel.AtLeastOnce, Stop);
            }
        }

        var written = new HashSet<(string, string)>();
        foreach (var (client, name) in clients.Zip(names))
        {
            foreach (var topic in topics.Where(_ => client is not null))
            {
                if ((await client!.Mqtt.PublishAsync(Message(topic, "hello"), Stop)).IsSuccess)
                {
                    written.Add((name, topic));
                }
            }
        }

        await TellAllAsync(host, topics);
        foreach (var client in clients.OfType<Client>())
        {
            await client.WhenEnded.WaitAsync(TimeSpan.FromSeconds(30), Stop);
        }

        var rows = topics.Select(topic => $"{topic} " + string.Join(' ', names.Select((name, index) =>
            (written.Contains((name, topic)) ? "w" : "") + (clients[index]?.Received.ContainsKey(topic) == true ? "r" : "") is { Length: > 0 } cell ? cell : "-")));
        Assert.Equal(
            string.Join('\n', Expected.Split('\n').Skip(1).Select(line => Regex.Replace(line.Trim(), " +", " ", RegexOptions.None, TimeSpan.FromSeconds(1)))),
            string.Join('\n', rows));
        foreach (var client in clients.OfType<Client>())
        {
            client.Mqtt.Dispose();
        }
    }

    [Theory]
    [Fault("a client uses the id of another", "its connection is refused, or gets its own name back; the other keeps its own")]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Nobody_takes_over_a_session_or_speaks_through_a_will(bool mosquitto)
    {
        await using var broker = mosquitto ? await Mosquitto.StartShippedAsync(_folder) : null;
        await using var host = await StartHostAsync(broker?.Port);
        var port = broker?.Port ?? host.MqttPort;
        var sensor = await ConnectAsync(port, "a-trunk");
        var reader = await ConnectAsync(port, "board-2");
        await reader!.Mqtt.SubscribeAsync("saltograph/v1/test-hall/athletes/#", MqttQualityOfServiceLevel.AtLeastOnce, Stop);
        var forger = await ConnectAsync(port, "board", clientId: "a-trunk", will: TestHall.Jumps("amber"));
        if (forger is not null)
        {
            await forger.Mqtt.DisconnectAsync(new MqttClientDisconnectOptions { Reason = MqttClientDisconnectOptionsReason.DisconnectWithWillMessage }, Stop);
        }

        var second = await ConnectAsync(port, "board", will: TestHall.Jumps("beryl"));
        if (second is not null)
        {
            await second.Mqtt.DisconnectAsync(new MqttClientDisconnectOptions { Reason = MqttClientDisconnectOptionsReason.DisconnectWithWillMessage }, Stop);
        }

        Assert.True((await sensor!.Mqtt.PublishAsync(Message(TestHall.Samples("a-trunk"), "hello"), Stop)).IsSuccess); // its connection is as it was
        await TellAllAsync(host, [TestHall.Jumps("sentinel")]);
        await reader.WhenEnded.WaitAsync(TimeSpan.FromSeconds(30), Stop);
        Assert.DoesNotContain("forged", reader.Received.Values, StringComparer.Ordinal);
        sensor.Mqtt.Dispose();
        reader.Mqtt.Dispose();
    }

    public ValueTask DisposeAsync()
    {
        _certificates.Dispose();
        _folder.Dispose();
        return ValueTask.CompletedTask;
    }

    private static MqttApplicationMessage Message(string topic, string text) => new()
    {
        Topic = topic,
        PayloadSegment = new(Encoding.UTF8.GetBytes(text)),
        QualityOfServiceLevel = MqttQualityOfServiceLevel.AtLeastOnce,
    };

    // What the service tells: on its own topics and, for who listens where nothing should come, on all others that it may use.
    private static async Task TellAllAsync(HallHost host, IEnumerable<string> topics)
    {
        var service = host.Services.GetRequiredService<IMessageOut>();
        foreach (var topic in topics)
        {
            await service.SendAsync(new(topic, "told"u8.ToArray(), "text/plain", 1, Retain: false), Stop);
        }

        foreach (var topic in new[] { "sensors/a-trunk/clock/answer", "sensors/b-trunk/clock/answer", "athletes/amber/jumps" })
        {
            await service.SendAsync(new($"saltograph/v1/{TestHall.Hall}/{topic}", Encoding.UTF8.GetBytes(End), "text/plain", 1, Retain: false), Stop);
        }
    }

    private async Task EnrolAsync(string name, params string[] more)
    {
        var run = await Cli.RunAsync(["enrol", name, "--config", _folder.Root, .. more]);
        Assert.True(run.ExitCode == 0, run.Error);
        _secrets[name] = Regex.Match(run.Out, "password +(?<secret>\\S{32})", RegexOptions.ExplicitCapture, TimeSpan.FromSeconds(1)).Groups["secret"].Value;
    }

    private async Task<HallHost> StartHostAsync(int? mosquittoPort)
    {
        var options = TestHall.Options(mosquittoPort);
        options = options with
        {
            Broker = mosquittoPort is null
                ? new() { EmbeddedBroker = new() { Port = 0, CertificateFile = "server.crt", CertificateKeyFile = "server.key" } }
                : options.Broker with { ExternalBroker = options.Broker.ExternalBroker with { UserName = "saltograph", AuthorityFile = "authority.crt", Host = "localhost" } },
        };
        var host = await TestHall.StartAsync(options, data: _folder.Root, brokerPassword: _secrets["saltograph"]);
        if (mosquittoPort is not null)
        {
            await MosquittoHallTests.ReadyAsync(host);
        }

        return host;
    }

    /// <summary>A connection; null when it was refused.</summary>
    private async Task<Client?> ConnectAsync(int port, string name, string? clientId = null, string? will = null)
    {
        var builder = new MqttClientOptionsBuilder()
            .WithTcpServer("localhost", port)
            .WithClientId(clientId ?? name)
            .WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500)
            .WithTlsOptions(tls => tls.UseTls().WithTargetHost("localhost").WithTrustChain([_certificates.Authority])
                .WithRevocationMode(System.Security.Cryptography.X509Certificates.X509RevocationMode.NoCheck));
        builder = name switch
        {
            "nobody" => builder,
            "wrong" => builder.WithClientId("a-trunk").WithCredentials("a-trunk", _secrets["b-trunk"]),
            _ => builder.WithCredentials(name, _secrets[name]),
        };
        if (will is not null)
        {
            builder = builder.WithWillTopic(will).WithWillPayload("forged"u8.ToArray()).WithWillQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce);
        }

        var client = new Client(new MqttClientFactory().CreateMqttClient());
        try
        {
            if ((await client.Mqtt.ConnectAsync(builder.Build(), Stop)).ResultCode == MqttClientConnectResultCode.Success)
            {
                return client;
            }
        }
        catch (MQTTnet.Exceptions.MqttCommunicationException)
        {
            // Hung up on: refused as well.
        }

        client.Mqtt.Dispose();
        return null;
    }

    private sealed class Client
    {
        private readonly TaskCompletionSource _ended = new(TaskCreationOptions.RunContinuationsAsynchronously);

        public Client(IMqttClient mqtt)
        {
            Mqtt = mqtt;
            mqtt.ApplicationMessageReceivedAsync += message =>
            {
                var text = Encoding.UTF8.GetString(message.ApplicationMessage.Payload.ToArray());
                if (text == End)
                {
                    _ended.TrySetResult();
                }
                else
                {
                    Received[message.ApplicationMessage.Topic] = text;
                }

                return Task.CompletedTask;
            };
        }

        public IMqttClient Mqtt { get; }

        public ConcurrentDictionary<string, string> Received { get; } = new(StringComparer.Ordinal);

        public Task WhenEnded => _ended.Task;
    }
}

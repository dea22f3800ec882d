using System.Security.Cryptography.X509Certificates;
using MQTTnet.Protocol;
using MQTTnet.Server;
using Saltograph.Imu;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.Security;

/// <summary>The doorkeeper of the embedded broker: who comes in, under which client id, and what it may publish and subscribe to.</summary>
/// <remarks>
/// The client id is the account's name, so nobody can take over another's session. An account that was taken away loses its
/// connection with the next look at the file. Only a broker that this machine alone can reach may let everybody in.
/// </remarks>
internal sealed class BrokerAccess(ServiceOptions options, AccountBook accounts, TimeProvider time, ILogger<BrokerAccess> log) : BackgroundService
{
    private static readonly TimeSpan Look = TimeSpan.FromSeconds(2);

    private readonly HallId _hall = new(options.Hall);
    private readonly bool _everybody = options.Broker.EmbeddedBroker.Anonymous;
    private readonly SemaphoreSlim _oneCheck = new(1); // guessing never costs more than one core
    private MqttServer? _server;

    /// <summary>Hooks into the broker; called once, before it starts.</summary>
    public void Attach(MqttServer server)
    {
        _server = server;
        accounts.Refresh();
        server.ValidatingConnectionAsync += ValidateAsync;
        server.InterceptingSubscriptionAsync += InterceptAsync;
    }

    /// <summary>Whether a client may publish on a topic, as far as its account goes.</summary>
    public bool MayPublish(string client, string topic) =>
        _everybody || (accounts.Find(client) is { } account && AccessRules.MayPublish(account, _hall, topic));

    /// <summary>Looks at the file again and ends the connections of accounts that are gone.</summary>
    public async Task RefreshAsync()
    {
        if (!accounts.Refresh() || _everybody || _server is not { IsStarted: true } server)
        {
            return;
        }

        foreach (var client in await server.GetClientsAsync())
        {
            if (accounts.Find(client.Id) is null)
            {
                log.AccountGone(client.Id);
                await server.DisconnectClientAsync(client.Id, new MqttServerClientDisconnectOptions { ReasonCode = MqttDisconnectReasonCode.NotAuthorized });
            }
        }
    }

    /// <inheritdoc/>
    public override void Dispose()
    {
        _oneCheck.Dispose();
        base.Dispose();
    }

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Look, time);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            await RefreshAsync();
        }
    }

    private async Task ValidateAsync(ValidatingConnectionEventArgs connection)
    {
        if (_everybody || connection.ReasonCode != MqttConnectReasonCode.Success)
        {
            return;
        }

        await RefreshAsync();
        var certified = connection.ClientCertificate?.GetNameInfo(X509NameType.SimpleName, forIssuer: false); // its chain was checked by the listener
        var name = certified ?? connection.UserName;
        if (name is null || accounts.Find(name) is not { } account || (certified is null && !await IsRightAsync(connection.Password, account)))
        {
            connection.ReasonCode = MqttConnectReasonCode.BadUserNameOrPassword;
            log.ConnectionRefused(IdText.IsValid(name) ? name : "that is no id", "no such account or a wrong secret");
        }
        else if (connection.ClientId != account.Name)
        {
            connection.ReasonCode = MqttConnectReasonCode.ClientIdentifierNotValid;
            log.ConnectionRefused(account.Name, "its client id is not its name");
        }
    }

    private async Task<bool> IsRightAsync(string? secret, Account account)
    {
        if (string.IsNullOrEmpty(secret) || account.Hash.Length == 0)
        {
            return false;
        }

        await _oneCheck.WaitAsync();
        try
        {
            return SecretHash.IsRight(secret, account.Hash);
        }
        finally
        {
            _oneCheck.Release();
        }
    }

    private Task InterceptAsync(InterceptingSubscriptionEventArgs subscription)
    {
        if (!_everybody && !(accounts.Find(subscription.ClientId) is { } account && AccessRules.MaySubscribe(account, _hall, subscription.TopicFilter.Topic)))
        {
            subscription.ProcessSubscription = false;
            subscription.Response.ReasonCode = MqttSubscribeReasonCode.NotAuthorized;
            log.SubscriptionRefused(subscription.ClientId, subscription.TopicFilter.Topic);
        }

        return Task.CompletedTask;
    }
}

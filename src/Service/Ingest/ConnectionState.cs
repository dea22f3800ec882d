namespace Saltograph.Service.Ingest;

/// <summary>Whether a connection is up, as something to wait for.</summary>
internal sealed class ConnectionState
{
    private readonly Lock _gate = new();
    private TaskCompletionSource _connected = New();
    private TaskCompletionSource _disconnected = New();

    /// <summary>Whether the connection is up.</summary>
    public bool IsConnected { get; private set; }

    /// <summary>Ends when the connection is up; at once when it is.</summary>
    public Task WhenConnected
    {
        get
        {
            lock (_gate)
            {
                return IsConnected ? Task.CompletedTask : _connected.Task;
            }
        }
    }

    /// <summary>Ends when the connection is down; at once when it is.</summary>
    public Task WhenDisconnected
    {
        get
        {
            lock (_gate)
            {
                return IsConnected ? _disconnected.Task : Task.CompletedTask;
            }
        }
    }

    /// <summary>The connection came up.</summary>
    public void SetConnected() => Set(connected: true);

    /// <summary>The connection went down; true when it was up.</summary>
    public bool SetDisconnected() => Set(connected: false);

    private static TaskCompletionSource New() => new(TaskCreationOptions.RunContinuationsAsynchronously);

    private bool Set(bool connected)
    {
        lock (_gate)
        {
            if (IsConnected == connected)
            {
                return false;
            }

            IsConnected = connected;
            if (connected)
            {
                _disconnected = New();
                _connected.TrySetResult();
            }
            else
            {
                _connected = New();
                _disconnected.TrySetResult();
            }

            return true;
        }
    }
}

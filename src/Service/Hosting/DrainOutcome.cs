namespace Saltograph.Service.Hosting;

/// <summary>How the last finishing of the queues went.</summary>
internal sealed class DrainOutcome
{
    private volatile bool _wasCut;

    /// <summary>Whether the time was over before everything taken was measured and sent; default false.</summary>
    public bool WasCut
    {
        get => _wasCut;
        set => _wasCut = value;
    }
}

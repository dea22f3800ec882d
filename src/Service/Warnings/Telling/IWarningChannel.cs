namespace Saltograph.Service.Warnings.Telling;

/// <summary>A way out for warnings that are to be announced. A further way is one more of these.</summary>
internal interface IWarningChannel
{
    /// <summary>Name in logs and in the file of what could not be told.</summary>
    string Name { get; }

    /// <summary>Tells it; throws when it did not work. Called one at a time.</summary>
    Task SendAsync(WarningNews news, CancellationToken stop);
}

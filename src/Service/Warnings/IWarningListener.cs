using Saltograph.Load;

namespace Saltograph.Service.Warnings;

/// <summary>Wants to know of each change that is stored, once in the life of the process.</summary>
internal interface IWarningListener
{
    /// <summary>A change; must return at once and not throw.</summary>
    void Changed(WarningChange change);
}

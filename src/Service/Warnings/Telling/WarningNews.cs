using Saltograph.Load;

namespace Saltograph.Service.Warnings.Telling;

/// <summary>What is to be told.</summary>
/// <param name="Change">The change.</param>
/// <param name="EventId">Id of its event.</param>
/// <param name="Event">The event as it is published, JSON.</param>
internal sealed record WarningNews(WarningChange Change, string EventId, ReadOnlyMemory<byte> Event);

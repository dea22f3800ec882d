namespace Saltograph.Service.Warnings.Telling;

/// <summary>A server answered and did not take it. The message holds no secret and no address.</summary>
internal sealed class TellingRefusedException(string message) : Exception(message);

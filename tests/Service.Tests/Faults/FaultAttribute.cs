namespace Saltograph.Service.Tests.Faults;

/// <summary>The test provokes a fault of the world around the service; its row of <c>src/Service/FAULTS.md</c>.</summary>
/// <param name="fault">What fails.</param>
/// <param name="happens">What the service does, as the test shows.</param>
/// <param name="lost">What is lost of what was acknowledged.</param>
/// <param name="back">When all is as before: a time that follows from the configuration, counted from the end of the fault.</param>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class FaultAttribute(string fault, string happens, string lost = "nothing", string back = "at once") : Attribute
{
    public string Fault { get; } = fault;

    public string Happens { get; } = happens;

    public string Lost { get; } = lost;

    public string Back { get; } = back;
}

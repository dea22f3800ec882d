using Saltograph.Imu;

namespace Saltograph.Board.Live;

/// <summary>One thing that is looked at in the check of a sensor.</summary>
/// <param name="Key">Which: <c>heard</c>, <c>site</c>, <c>worn</c>, <c>charge</c>, <c>clock</c>, <c>loss</c>, <c>gyroscope</c>, <c>accelerometer</c>, <c>rest</c> or <c>clipping</c>.</param>
/// <param name="IsGood">Passed or failed; null when it is not known yet, or the sensor does not say.</param>
/// <param name="Figure">Its figure, in the unit of the text <c>check.KEY.figure</c>; null when there is none.</param>
/// <param name="Word">For <c>site</c>: where it was found, or <c>untold</c>.</param>
public sealed record CheckedThing(string Key, bool? IsGood, double? Figure, string? Word = null);

/// <summary>One sensor in the check.</summary>
/// <param name="Sensor">Its id.</param>
/// <param name="Site">Where the roster puts it.</param>
/// <param name="Things">What was looked at.</param>
public sealed record CheckedSensor(string Sensor, Site Site, IReadOnlyList<CheckedThing> Things)
{
    /// <summary>Whether something failed.</summary>
    public bool HasFailed => Things.Any(thing => thing.IsGood == false);
}

/// <summary>The check of an athlete's sensors as it stands.</summary>
/// <param name="Step">What she has to do: <c>stand</c>, <c>rise</c>, <c>lift</c>, <c>done</c>.</param>
/// <param name="StoodShare">How much of the standing is done, 0 to 1.</param>
/// <param name="WasTooMuch">Whether she moved far more than asked for, so that it began anew.</param>
/// <param name="AreSwapped">Whether the sensors of the ankles were found on each other's leg.</param>
/// <param name="Sensors">Each sensor.</param>
public sealed record SensorCheck(string Step, double StoodShare, bool WasTooMuch, bool AreSwapped, IReadOnlyList<CheckedSensor> Sensors)
{
    /// <summary>Whether it is done.</summary>
    public bool IsDone => Step == "done";
}

/// <summary>The guided check of sensors before training.</summary>
public interface ISensorChecks
{
    /// <summary>Begins, or begins anew.</summary>
    void Begin(string athlete);

    /// <summary>Ends; nothing is kept.</summary>
    void End(string athlete);

    /// <summary>How it stands; null when none runs. One that nobody asks for ends by itself after half a minute.</summary>
    SensorCheck? Of(string athlete);
}

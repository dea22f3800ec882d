using Saltograph.Board.Live;
using Saltograph.Imu;

namespace Saltograph.Service.Fitting;

/// <summary>What the packets of one sensor say since the check began.</summary>
/// <param name="Received">Packets.</param>
/// <param name="Lost">Packets that are missing in the row of numbers.</param>
/// <param name="BatteryPercent">Charge as it said last; null when it does not say.</param>
/// <param name="IsInStep">Whether its clock is known to a millisecond; null when nothing was told about it.</param>
internal sealed record FittingPackets(int Received, int Lost, int? BatteryPercent, bool? IsInStep);

/// <summary>Passes or fails each thing that is looked at, with its figure. Limits are common practice, no source, but where one is named.</summary>
internal static class FittingVerdict
{
    /// <summary>Least charge for a training of some hours.</summary>
    public const double LeastBatteryPercent = 30;

    /// <summary>Most packets that may be lost.</summary>
    public const double MostLostPercent = 2;

    /// <summary>Most noise of a gyroscope at rest; data sheets of such sensors give 0.05 to 0.2 deg/s at some hundred hertz.</summary>
    public const double MostGyroscopeNoiseDps = 0.5;

    /// <summary>Most noise of an accelerometer at rest; data sheets give 0.01 to 0.05 m/s2.</summary>
    public const double MostAccelerometerNoiseMps2 = 0.15;

    /// <summary>How far the reading at rest may be from 1 g: what the measuring still takes for gravity.</summary>
    public const double MostRestErrorG = 0.05;

    /// <summary>How far a sensor that is worn rises at least with the body on its toes.</summary>
    public const double LeastRiseM = 0.01;

    /// <summary>All verdicts about one sensor, in the order of reading.</summary>
    public static IReadOnlyList<CheckedThing> Of(FittedSite fitted, FittingPackets packets, bool isSilent, FittingStep step)
    {
        var lostPercent = packets.Received + packets.Lost == 0 ? (double?)null : 100.0 * packets.Lost / (packets.Received + packets.Lost);
        return
        [
            new("heard", isSilent ? false : packets.Received > 0 ? true : null, packets.Received),
            SiteOf(fitted, step),
            new("worn", fitted.RiseM is { } rise ? rise >= LeastRiseM : null, fitted.RiseM * 100),
            new("charge", packets.BatteryPercent is { } percent ? percent >= LeastBatteryPercent : null, packets.BatteryPercent),
            new("clock", packets.IsInStep, null),
            new("loss", lostPercent is { } lost ? lost <= MostLostPercent : null, lostPercent),
            new("gyroscope", fitted.GyroscopeNoiseDps is { } turn ? turn <= MostGyroscopeNoiseDps : null, fitted.GyroscopeNoiseDps),
            new("accelerometer", fitted.AccelerometerNoiseMps2 is { } force ? force <= MostAccelerometerNoiseMps2 : null, fitted.AccelerometerNoiseMps2),
            new("rest", fitted.RestG is { } rest ? Math.Abs(rest - 1) <= MostRestErrorG : null, fitted.RestG),
            new("clipping", packets.Received == 0 ? null : fitted.Clipped == 0, fitted.Clipped),
        ];
    }

    private static CheckedThing SiteOf(FittedSite fitted, FittingStep step) => new(
        "site",
        fitted.Found is { } found ? found == fitted.Expected : step == FittingStep.Done ? false : null,
        fitted.LiftMps2,
        fitted.Found is { } at ? at.Name() : step == FittingStep.Done ? "untold" : null);
}

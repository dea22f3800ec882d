using System.Globalization;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>Bands below a straight line in which judges grade a split; shown beside it, they change no measure.</summary>
internal sealed record SplitBandOptions
{
    /// <summary>End of the first band below 180, deg. 1 to 90; default 10 (from memory: check against the current code of points).</summary>
    public double NearDeg { get; init; } = 10;

    /// <summary>End of the second band below 180, deg. Above the first, at most 120; default 20 (from memory: check against the current code of points).</summary>
    public double FarDeg { get; init; } = 20;

    /// <summary>What is wrong; nothing when they may be used.</summary>
    /// <param name="file">The file they came from, for the messages.</param>
    public IEnumerable<InputFault> Faults(string file)
    {
        if (!(NearDeg is >= 1 and <= 90))
        {
            yield return new(file, NearDeg.ToString(CultureInfo.InvariantCulture), "1 to 90 deg", null, "splitBands.nearDeg");
        }

        if (!(FarDeg > NearDeg && FarDeg <= 120))
        {
            yield return new(file, FarDeg.ToString(CultureInfo.InvariantCulture), "more than splitBands.nearDeg, at most 120 deg", null, "splitBands.farDeg");
        }
    }
}

using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Service.Verbs;

/// <summary>Accelerometer full scale per site, as given with <c>--range</c>.</summary>
internal sealed class FullScales
{
    private readonly Dictionary<Site, double> _bySite = [];

    /// <summary>Full scale of a site, m/s2; null when not given.</summary>
    public double? Of(Site site) => _bySite.TryGetValue(site, out var fullScaleMps2) ? fullScaleMps2 : null;

    /// <summary>Reads texts such as <c>156.9</c> or <c>trunk=156.9</c>.</summary>
    /// <returns>What is wrong, or null.</returns>
    public static string? TryParse(IEnumerable<string> texts, out FullScales? fullScales)
    {
        fullScales = new();
        foreach (var text in texts.SelectMany(text => text.Split(',')))
        {
            var parts = text.Split('=');
            var site = Site.Trunk;
            var isRight = parts.Length == 1 || (parts.Length == 2 && Sites.TryParse(parts[0], out site));
            if (!isRight
                || !double.TryParse(parts[^1], NumberStyles.Float, CultureInfo.InvariantCulture, out var fullScaleMps2)
                || !(fullScaleMps2 is > 0 and < 1e5))
            {
                return $"--range: found '{text}'; allowed: a full scale in m/s2, or SITE=NUMBER with the sites trunk, ankle-left and ankle-right.";
            }

            foreach (var each in parts.Length == 1 ? Enum.GetValues<Site>() : [site])
            {
                fullScales._bySite[each] = fullScaleMps2;
            }
        }

        return null;
    }
}

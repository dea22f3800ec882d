using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

/// <summary>A recording of the reference data with its truth.</summary>
internal sealed class Recording
{
    public required double RateHz { get; init; }

    public required Vector3D[] AngularRate { get; init; }

    public required Vector3D[] SpecificForce { get; init; }

    public required Vector3D[] MagneticField { get; init; }

    /// <summary>Null where the truth is unknown.</summary>
    public required Rotation?[] Truth { get; init; }

    /// <summary>Whether a row counts for errors.</summary>
    public required bool[] Counts { get; init; }

    public int Length => AngularRate.Length;

    public static double RateOf(string name) => name[0] switch { 'a' => 100, 'b' => 500, _ => 2000 / 7.0 };

    /// <summary>A sequence of the golden folder; errors count after 3 s, in c during the movement.</summary>
    public static Recording Golden(string name)
    {
        var input = SharedTable.Read(Repository.SharedPath("golden", "ahrs", $"{name}_input.csv.gz"));
        var truth = SharedTable.Read(Repository.SharedPath("golden", "ahrs", $"{name}_truth.csv.gz"));
        var counts = truth.Names.Contains("movement", StringComparer.Ordinal)
            ? truth["movement"].Select(m => m == 1).ToArray()
            : truth["t_s"].Select(t => t > 3).ToArray();
        return From(input, truth, counts, RateOf(name));
    }

    /// <summary>A trial of BROAD by the name of its file without the ending.</summary>
    public static Recording Broad(string name)
    {
        var table = SharedTable.Read(Repository.SharedPath("datasets", "broad", $"{name}.csv.gz"));
        return From(table, table, [.. table["movement"].Select(m => m == 1)], 2000 / 7.0);
    }

    public static string[] BroadNames() => [.. Directory.GetFiles(Repository.SharedPath("datasets", "broad"), "*.csv.gz")
        .Select(f => Path.GetFileName(f)[..^7]).Order(StringComparer.Ordinal)];

    private static Recording From(SharedTable input, SharedTable truth, bool[] counts, double rateHz)
    {
        var w = truth["qw"];
        var x = truth["qx"];
        var y = truth["qy"];
        var z = truth["qz"];
        return new()
        {
            RateHz = rateHz,
            AngularRate = Vectors(input, "gx_rad_s", "gy_rad_s", "gz_rad_s"),
            SpecificForce = Vectors(input, "ax_m_s2", "ay_m_s2", "az_m_s2"),
            MagneticField = Vectors(input, "mx_uT", "my_uT", "mz_uT"),
            Truth = [.. w.Select((_, i) => double.IsNaN(w[i]) ? (Rotation?)null : new Rotation(w[i], x[i], y[i], z[i]).Normalized())],
            Counts = counts,
        };
    }

    private static Vector3D[] Vectors(SharedTable table, string x, string y, string z)
    {
        double[] cx = table[x], cy = table[y], cz = table[z];
        return [.. cx.Select((_, i) => new Vector3D(cx[i], cy[i], cz[i]))];
    }
}

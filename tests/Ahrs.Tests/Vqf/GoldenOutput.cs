using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

/// <summary>One reference output, compared row by row as it is produced.</summary>
internal sealed class GoldenOutput(string sequence, string filter)
{
    private readonly SharedTable _table = SharedTable.Read(Repository.SharedPath("golden", "ahrs", $"{sequence}_{filter}.csv.gz"));
    private int _next;

    public void Compare(
        int row,
        Rotation earthFromSensor,
        Vector3D bias,
        double biasSigma,
        bool rest,
        double? headingCorrection = null,
        bool? disturbed = null)
    {
        if (_next == _table.Rows || _table["row"][_next] != row)
        {
            return;
        }

        var k = _next++;
        // Up to sign: the sign is taken from the reference, then every component must agree.
        var expected = new Rotation(_table["qw"][k], _table["qx"][k], _table["qy"][k], _table["qz"][k]);
        var dot = (expected.W * earthFromSensor.W) + (expected.X * earthFromSensor.X) + (expected.Y * earthFromSensor.Y) + (expected.Z * earthFromSensor.Z);
        var sign = dot < 0 ? -1 : 1;
        Near(expected.W, sign * earthFromSensor.W, 1e-7, row, "qw");
        Near(expected.X, sign * earthFromSensor.X, 1e-7, row, "qx");
        Near(expected.Y, sign * earthFromSensor.Y, 1e-7, row, "qy");
        Near(expected.Z, sign * earthFromSensor.Z, 1e-7, row, "qz");
        Near(_table["bx_rad_s"][k], bias.X, 1e-8, row, "bx");
        Near(_table["by_rad_s"][k], bias.Y, 1e-8, row, "by");
        Near(_table["bz_rad_s"][k], bias.Z, 1e-8, row, "bz");
        Near(_table["bias_sigma_rad_s"][k], biasSigma, 1e-8, row, "bias sigma");
        Flag("rest", k, rest);
        if (headingCorrection is { } delta)
        {
            Near(0, Angles.WrapRad(_table["delta_rad"][k] - delta), 2e-7, row, "heading correction");
        }

        if (disturbed is { } flag)
        {
            Flag("mag_disturbed", k, flag);
        }
    }

    public void AssertComplete() => Assert.Equal(_table.Rows, _next);

    private static void Near(double expected, double actual, double tolerance, int row, string what) =>
        Assert.True(Math.Abs(expected - actual) <= tolerance, $"row {row}: {what} is {actual:R}, reference {expected:R}");

    private void Flag(string name, int k, bool actual)
    {
        var column = _table[name];
        // The rows are every 2nd or 10th sample, so one sample at a switch is at most one row beside it.
        var near = column[k] == (actual ? 1 : 0)
            || (k > 0 && column[k - 1] != column[k]) || (k + 1 < _table.Rows && column[k + 1] != column[k]);
        Assert.True(near, $"row {_table["row"][k]}: {name} is {actual}");
    }
}

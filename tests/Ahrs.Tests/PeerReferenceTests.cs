using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

/// <summary>
/// Mahony and Madgwick against an independent program (npm package ahrs 1.3.3, double): the same method with an Euler step
/// and another start. Its Madgwick carries half of the magnetic reference, so only six axes are compared.
/// </summary>
public sealed class PeerReferenceTests
{
    [Theory]
    [InlineData("a_smooth_100hz", 0.05)]
    [InlineData("b_flight_500hz", 0.05)]
    [InlineData("b2_flight_lever_500hz", 0.05)]
    [InlineData("c_broad18_285hz", 0.05)]
    public void Mahony_agrees_with_another_program(string sequence, double withinDeg) => Compare(
        sequence, "npmmahony6d_default", r => new MahonyFilter(new() { ProportionalGainPerS = 1, IntegralGainPerS2 = 0 }, r), withinDeg);

    [Theory]
    [InlineData("a_smooth_100hz", 0.01)]
    [InlineData("b_flight_500hz", 0.01)]
    [InlineData("b2_flight_lever_500hz", 0.01)]
    [InlineData("c_broad18_285hz", 0.01)]
    public void Madgwick_agrees_with_another_program(string sequence, double withinDeg) => Compare(
        sequence, "npmmadgwick6d_default", r => new MadgwickFilter(new() { GainPerS = 0.4 }, r), withinDeg);

    /// <summary>Root mean square inclination of one against the other, after 3 s.</summary>
    private static void Compare(string sequence, string reference, Func<double, OrientationFilter> create, double withinDeg)
    {
        Shared.Require("golden", "ahrs");
        var recording = Recording.Golden(sequence);
        var filter = create(recording.RateHz);
        var table = SharedTable.Read(Repository.SharedPath("golden", "ahrs", $"{sequence}_{reference}.csv.gz"));
        double sum = 0;
        var count = 0;
        var next = 0;
        for (var i = 0; i < recording.Length && next < table.Rows; i++)
        {
            filter.Update(recording.AngularRate[i], recording.SpecificForce[i]);
            if (table["row"][next] != i)
            {
                continue;
            }

            var other = new Rotation(table["qw"][next], table["qx"][next], table["qy"][next], table["qz"][next]).Normalized();
            next++;
            if (i > 3 * recording.RateHz)
            {
                var up = filter.EarthFromSensor.Inverse.Rotate(Vector3D.UnitZ);
                sum += Math.Pow((up - other.Inverse.Rotate(Vector3D.UnitZ)).Length, 2);
                count++;
            }
        }

        var rmsDeg = Math.Sqrt(sum / count) * Angles.DegPerRad;
        TestContext.Current.SendDiagnosticMessage("{0} {1}: {2} deg", sequence, reference, rmsDeg);
        Assert.InRange(rmsDeg, 0, withinDeg);
    }
}

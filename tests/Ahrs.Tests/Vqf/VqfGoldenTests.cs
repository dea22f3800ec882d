
namespace Saltograph.Ahrs.Tests;

/// <summary>
/// Against the outputs of the authors' own program (dlaidig/vqf 2.1.1, commit b66ff21, double, all defaults), with the
/// tolerances stated beside them: quaternion 1e-7 up to sign, bias 1e-8 rad/s, flags equal but one sample at a switch.
/// </summary>
public sealed class VqfGoldenTests
{
    public static TheoryData<string> Sequences => ["a_smooth_100hz", "b_flight_500hz", "b2_flight_lever_500hz", "c_broad18_285hz"];

    [Theory]
    [MemberData(nameof(Sequences))]
    public void Six_axis_output_equals_the_reference(string sequence)
    {
        Shared.Require("golden", "ahrs");
        var recording = Recording.Golden(sequence);
        var filter = new VqfFilter(new(), recording.RateHz);
        var golden = new GoldenOutput(sequence, "vqf6d");
        for (var i = 0; i < recording.Length; i++)
        {
            Assert.True(filter.Update(recording.AngularRate[i], recording.SpecificForce[i]).IsAccepted);
            golden.Compare(i, filter.EarthFromSensor, filter.GyroscopeBiasSensorRadps, filter.GyroscopeBiasSigmaRadps!.Value, filter.IsAtRest);
        }

        golden.AssertComplete();
    }

    [Theory]
    [MemberData(nameof(Sequences))]
    public void Nine_axis_output_equals_the_reference(string sequence)
    {
        Shared.Require("golden", "ahrs");
        var recording = Recording.Golden(sequence);
        var filter = new VqfFilter(new(), recording.RateHz);
        var golden = new GoldenOutput(sequence, "vqf9d");
        for (var i = 0; i < recording.Length; i++)
        {
            var result = filter.Update(recording.AngularRate[i], recording.SpecificForce[i], recording.MagneticField[i]);
            Assert.True(result.IsAccepted);
            golden.Compare(
                i,
                filter.EarthFromSensor,
                filter.GyroscopeBiasSensorRadps,
                filter.GyroscopeBiasSigmaRadps!.Value,
                filter.IsAtRest,
                filter.Capture().HeadingCorrectionRad,
                filter.IsMagneticFieldDisturbed);
        }

        golden.AssertComplete();
    }

    [Theory]
    [MemberData(nameof(Sequences))]
    public void Offline_six_axis_output_equals_the_reference(string sequence) => CompareOffline(sequence, "vqf6d_offline", magnetic: false);

    [Theory]
    [MemberData(nameof(Sequences))]
    public void Offline_nine_axis_output_equals_the_reference(string sequence) => CompareOffline(sequence, "vqf9d_offline", magnetic: true);

    private static void CompareOffline(string sequence, string filter, bool magnetic)
    {
        Shared.Require("golden", "ahrs");
        var recording = Recording.Golden(sequence);
        var series = VqfOffline.Run(
            new(), recording.RateHz, recording.AngularRate, recording.SpecificForce, magnetic ? recording.MagneticField : []);
        var golden = new GoldenOutput(sequence, filter);
        for (var i = 0; i < series.Length; i++)
        {
            golden.Compare(
                i,
                series.EarthFromSensor[i],
                series.GyroscopeBiasSensorRadps[i],
                series.GyroscopeBiasSigmaRadps[i]!.Value,
                series.IsAtRest[i],
                headingCorrection: null,
                series.IsMagneticFieldDisturbed?[i]);
        }

        golden.AssertComplete();
    }
}

using System.IO.Compression;
using System.Text;
using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Tests.Recordings;

public sealed class RecordingReaderTests
{
    private const string Header = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps";

    private static readonly RecordingReference Plain = new("recording.csv", null);

    [Fact]
    public void Columns_are_found_by_name_in_any_order_and_others_are_ignored()
    {
        var recording = Read(
            "note,gyr_z_radps,acc_y_mps2,time_s,gyr_x_radps,acc_x_mps2,gyr_y_radps,acc_z_mps2\n"
            + "\"a, quoted, note\",6,2,0.00,4,1,5,3\n"
            + "x,16,12,0.01,14,11,15,13\n");
        Assert.Equal([0, 0.01], recording.TimesS);
        Assert.Equal([new(1, 2, 3), new(11, 12, 13)], recording.SpecificForcesSensorMps2);
        Assert.Equal([new(4, 5, 6), new(14, 15, 16)], recording.AngularRatesSensorRadps);
        Assert.Null(recording.MagneticFieldsSensorUT);
        Assert.Equal(100, recording.SampleRateHz, 1e-9);
    }

    [Fact]
    public void A_prefix_names_one_sensor_of_several()
    {
        var text = "time_s,a_acc_x_mps2,a_acc_y_mps2,a_acc_z_mps2,a_gyr_x_radps,a_gyr_y_radps,a_gyr_z_radps,"
            + "b_acc_x_mps2,b_acc_y_mps2,b_acc_z_mps2,b_gyr_x_radps,b_gyr_y_radps,b_gyr_z_radps,b_mag_x_uT,b_mag_y_uT,b_mag_z_uT\r\n"
            + "0,1,2,3,4,5,6,7,8,9,10,11,12,13,14,15\r\n"
            + "0.01,1,2,3,4,5,6,7,8,9,10,11,12,,14,15\r\n";
        var recording = Read(text, Plain with { Prefix = "b" });
        Assert.Equal(new(7, 8, 9), recording.SpecificForcesSensorMps2[0]);
        Assert.Equal([new Vector3D(13, 14, 15), null], recording.MagneticFieldsSensorUT!);
        Assert.False(recording.Lost[1]); // an empty magnetometer cell loses only the magnetometer
    }

    [Fact]
    public void A_row_with_an_empty_cell_of_the_sensor_is_a_lost_sample()
    {
        var recording = Read($"{Header}\n0,1,2,3,4,5,6\n0.01,,,,,,\n0.02,1,2,3,4,,6\n0.03,1,2,3,4,5,6\n0.04,1,2,3,4,5,6\n");
        Assert.Equal([false, true, true, false, false], recording.Lost);
        Assert.Equal(100, recording.SampleRateHz, 1e-9);
    }

    [Fact]
    public void A_gzipped_file_is_recognised_by_its_content()
    {
        using var folder = new TemporaryFolder();
        var path = folder.File("recording.csv");
        using (var file = new GZipStream(File.Create(path), CompressionLevel.Fastest))
        {
            file.Write(Encoding.UTF8.GetBytes($"{Header}\n0,1,2,3,4,5,6\n0.01,1,2,3,4,5,6\n"));
        }

        Assert.Null(RecordingReader.Read(new(path, null), null, out var recording));
        Assert.Equal(2, recording!.Rows);
    }

    [Fact]
    public void A_byte_order_mark_and_empty_lines_do_no_harm()
    {
        var bytes = Encoding.UTF8.GetPreamble().Concat(Encoding.UTF8.GetBytes($"{Header}\n0,1,2,3,4,5,6\n0.01,1,2,3,4,5,6\n\n")).ToArray();
        Assert.Null(RecordingReader.Read(new MemoryStream(bytes), Plain, null, out var recording));
        Assert.Equal(2, recording!.Rows);
    }

    [Theory]
    [InlineData("", "recording.csv, line 1: found an empty file; allowed: one header row and one row per sample.")]
    [InlineData("time_s,acc_x_mps2\n0,1\n", "recording.csv, line 1, acc_y_mps2: found no such column among time_s acc_x_mps2; allowed: exactly one column acc_y_mps2.")]
    [InlineData(Header + ",acc_x_mps2\n", "recording.csv, line 1, acc_x_mps2: found the column more than once; allowed: exactly one column acc_x_mps2.")]
    [InlineData(Header + "\n0,1,2,3,4,5,6\n0.01,1,2,3\n", "recording.csv, line 3: found 4 cells; allowed: 7 cells, as in the header.")]
    [InlineData(Header + "\n0,1,2,3,4,5,6\n0.01,1,two,3,4,5,6\n", "recording.csv, line 3, acc_y_mps2: found 'two'; allowed: a finite number, or nothing for a lost sample.")]
    [InlineData(Header + "\n0,1,2,NaN,4,5,6\n", "recording.csv, line 2, acc_z_mps2: found 'NaN'; allowed: a finite number, or nothing for a lost sample.")]
    [InlineData(Header + "\n0,1,2,3,4,5,6\n,1,2,3,4,5,6\n", "recording.csv, line 3, time_s: found an empty cell; allowed: a time in seconds, later in each row.")]
    [InlineData(Header + "\n0.5,1,2,3,4,5,6\n0.5,1,2,3,4,5,6\n", "recording.csv, line 3, time_s: found 0.5 after 0.5; allowed: a time in seconds, later in each row.")]
    [InlineData(Header + "\n0,1,2,3,4,5,6\n0.01,,,,,,\n", "recording.csv: found 1 rows with a sample; allowed: at least 2.")]
    [InlineData(Header + "\n0,1,2,3,4,5,6\n0.1,1,2,3,4,5,6\n", "recording.csv, time_s: found a sample rate of 10 Hz; allowed: 50 to 2000 Hz.")]
    public void A_wrong_file_is_refused_with_place_found_and_allowed(string text, string message)
    {
        var fault = RecordingReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), Plain, null, out var recording);
        Assert.Equal(message, fault?.ToString());
        Assert.Null(recording);
    }

    [Fact]
    public void A_damaged_gzip_file_is_refused()
    {
        using var folder = new TemporaryFolder();
        var path = folder.File("recording.csv.gz");
        File.WriteAllBytes(path, [0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3]);
        Assert.NotNull(RecordingReader.Read(new(path, null), null, out _));
    }

    [Theory]
    [InlineData("folder/recording.csv", "folder/recording.csv", null)]
    [InlineData("folder/recording.csv:lowback", "folder/recording.csv", "lowback")]
    [InlineData("fol:der/recording.csv", "fol:der/recording.csv", null)]
    [InlineData("recording.csv:", "recording.csv:", null)]
    public void A_reference_splits_at_the_colon_before_a_prefix(string text, string path, string? prefix) =>
        Assert.Equal(new RecordingReference(path, prefix), RecordingReference.Parse(text));

    // 50 to 2000 Hz, times written in microseconds, any pattern of missing rows up to four in a row.
    [Property(MaxTest = 200)]
    public FsCheck.Property The_rate_is_found_whatever_rows_are_missing() => Prop.ForAll(
        Gen.Choose(50, 2000).ToArbitrary(),
        Gen.Choose(0, 99).ArrayOf(400).ToArbitrary(),
        (rateHz, dice) =>
        {
            var times = new List<double>();
            var missing = 0;
            for (var i = 0; i < dice.Length; i++)
            {
                missing = dice[i] < 20 && missing < 4 ? missing + 1 : 0;
                if (missing == 0)
                {
                    times.Add(Math.Round((double)i / rateHz, 6));
                }
            }

            var estimate = SampleRate.EstimateHz([.. times])!.Value;
            return Math.Abs(estimate - rateHz) < 0.005 * rateHz;
        });

    [Theory]
    [InlineData(128)]
    [InlineData(416)]
    [InlineData(104)]
    public void The_rate_survives_times_rounded_to_milliseconds(double rateHz)
    {
        var times = Enumerable.Range(0, 2000).Select(i => Math.Round(i / rateHz, 3)).ToArray();
        Assert.Equal(rateHz, SampleRate.EstimateHz(times)!.Value, rateHz * 1e-3);
    }

    private static Recording Read(string text, RecordingReference? reference = null)
    {
        var fault = RecordingReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), reference ?? Plain, null, out var recording);
        Assert.Null(fault);
        return recording!;
    }
}

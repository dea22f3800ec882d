using System.Globalization;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Simulator.Recording;
using Saltograph.Simulator.Session;

namespace Saltograph.Simulator.Tests;

/// <summary>Recordings and truth as text.</summary>
public sealed class RecordingTests
{
    private static readonly SimulatedAthlete Athlete = SimulatedSession.Simulate(new() { Seed = 7, DurationS = 40 })[0];

    [Fact]
    public void A_recording_has_the_header_of_the_format_and_every_sample_in_full_resolution()
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        RecordingText.Write(text, Athlete.At(Site.AnkleLeft));
        var lines = text.ToString().Split('\n');
        Assert.Equal("time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps", lines[0]);
        Assert.Equal(Athlete.At(Site.AnkleLeft).Count + 2, lines.Length);
        foreach (var (line, sample) in lines.Skip(1).Zip(Athlete.At(Site.AnkleLeft)))
        {
            var cells = line.Split(',').Select(c => double.Parse(c, CultureInfo.InvariantCulture)).ToArray();
            Assert.Equal(sample.Time.Seconds, cells[0], 1e-6);
            // Half a count of a 32 g range is 0.005 m/s2, of 2000 deg/s 0.0005 rad/s.
            Assert.Equal(sample.SpecificForceSensorMps2.X, cells[1], 1e-4);
            Assert.Equal(sample.AngularRateSensorRadps.Z, cells[6], 1e-5);
        }
    }

    [Fact]
    public void The_truth_is_one_json_object_a_line_with_the_keys_of_a_jump_record()
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        TruthText.Write(text, Athlete);
        var lines = text.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => JsonDocument.Parse(l).RootElement).ToList();
        Assert.Equal(Athlete.Jumps.Count + Athlete.Distractors.Count, lines.Count);
        var first = lines[0];
        Assert.Equal(Athlete.Jumps[0].LandingS, first.GetProperty("landingS").GetDouble(), 1e-6);
        Assert.Equal(Athlete.Jumps[0].Form.ToString(), first.GetProperty("form").GetString(), ignoreCase: true);
        Assert.Equal(Athlete.Jumps[0].ShockTrunkG, first.GetProperty("landingShockG").GetProperty("trunk").GetDouble(), 1e-6);
        Assert.Contains(lines, l => l.TryGetProperty("distractor", out var kind) && kind.ValueEquals("standing"));
    }
}

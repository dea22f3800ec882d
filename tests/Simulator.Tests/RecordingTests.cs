using System.Globalization;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Simulator.Recording;
using Saltograph.Simulator.Session;

namespace Saltograph.Simulator.Tests;

/// <summary>Files say the same as the simulation, in the columns and keys that other programs rely on.</summary>
public sealed class RecordingTests
{
    private const string Header = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps";

    private static readonly SimulatedAthlete Athlete = SimulatedSession.Simulate(new() { Seed = 2, DurationS = 60 })[0];

    private static string[] Lines(Action<TextWriter> write)
    {
        using var text = new StringWriter();
        write(text);
        var written = text.ToString();
        Assert.EndsWith("\n", written, StringComparison.Ordinal);
        Assert.DoesNotContain('\r', written);
        return written.TrimEnd('\n').Split('\n');
    }

    private static double[] Numbers(string line) => [.. line.Split(',').Select(cell => double.Parse(cell, CultureInfo.InvariantCulture))];

    [Fact]
    public void A_recording_reads_back_to_the_same_numbers_where_the_comma_is_a_decimal_sign()
    {
        var culture = CultureInfo.CurrentCulture;
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        try
        {
            CultureInfo.CurrentCulture = comma;
            var samples = Athlete.At(Site.AnkleLeft);
            var lines = Lines(text => RecordingText.Write(text, samples));
            Assert.Equal(Header, lines[0]);
            Assert.Equal(samples.Count + 1, lines.Length);
            for (var i = 0; i < samples.Count; i++)
            {
                var (force, rate) = (samples[i].SpecificForceSensorMps2, samples[i].AngularRateSensorRadps);
                Assert.Equal([samples[i].Time.Microseconds / 1e6, force.X, force.Y, force.Z, rate.X, rate.Y, rate.Z], Numbers(lines[i + 1]));
            }
        }
        finally
        {
            CultureInfo.CurrentCulture = culture;
        }
    }

    [Fact]
    public void A_time_before_zero_and_a_lost_sample_are_written_as_such()
    {
        var lines = Lines(text => RecordingText.Write(text, [new(new(-1500), new(1, -0.5, 0), default), new(new(901), new(double.NaN, 0, 0), default)]));
        Assert.Equal("-0.001500,1,-0.5,0,0,0,0", lines[1]);
        Assert.Equal("0.000901,,,,,,", lines[2]);
    }

    [Fact]
    public void Sensors_side_by_side_keep_their_readings_within_half_an_interval()
    {
        var sites = Enum.GetValues<Site>();
        var lines = Lines(text => RecordingText.WriteSideBySide(text, [.. sites.Select(site => (RecordingText.PrefixOf(site), Athlete.At(site)))]));
        Assert.Equal(
            "time_s," + string.Join(',', new[] { "trunk", "ankle_left", "ankle_right" }.SelectMany(prefix => Header.Split(',').Skip(1).Select(column => $"{prefix}_{column}"))),
            lines[0]);
        var rows = lines.Skip(1).Select(line => line.Split(',')).ToList();
        Assert.Equal(Athlete.At(Site.Trunk).Count, rows.Count);
        foreach (var site in sites)
        {
            var samples = Athlete.At(site);
            var (next, lost) = (0, 0);
            foreach (var row in rows)
            {
                var cell = row[1 + (6 * (int)site)];
                if (cell.Length == 0)
                {
                    lost++;
                    continue;
                }

                var timeS = double.Parse(row[0], CultureInfo.InvariantCulture);
                var force = double.Parse(cell, CultureInfo.InvariantCulture);
                while (Math.Abs(samples[next].Time.Seconds - timeS) > (0.5 / 416) + 2e-6)
                {
                    next++;
                }

                Assert.Equal(samples[next++].SpecificForceSensorMps2.X, force);
            }

            // At both ends, and where two clocks slip past each other by one sample.
            Assert.InRange(lost, 0, 5);
        }
    }

    [Fact]
    public void A_prefix_that_would_break_the_header_is_refused() => Assert.Throws<ArgumentException>(
        () => RecordingText.WriteSideBySide(TextWriter.Null, [("low,back", Athlete.At(Site.Trunk))]));

    [Fact]
    public void True_jumps_have_every_key_of_a_jump_record()
    {
        var lines = Lines(text => TruthText.WriteJumps(text, Athlete.Jumps));
        Assert.Equal(Athlete.Jumps.Count, lines.Length);
        string[] keys =
        [
            "athlete", "number", "takeoffS", "peakS", "landingS", "form", "takeoffFoot", "landingFoot", "secondFootLagS", "flightTimeS", "heightM",
            "heightFlightTimeM", "heightTakeoffVelocityM", "trunkRiseM", "takeoffVelocityMps", "pushOffTimeS", "crouchDepthM", "turnPreparationDeg",
            "turnFlightDeg", "turnRecoveryDeg", "turnRateTakeoffDps", "turnRateTopDps", "turnRatePeakDps", "inertiaGrowth", "splitAngleDeg",
            "splitAngleAtPeakDeg", "splitHoldFraction", "landingShockG", "shockAttenuationPercent", "shockRiseTimeS", "absorptionTimeS",
            "absorptionDepthM", "series", "uncertainty", "grade", "quality",
        ];
        for (var i = 0; i < lines.Length; i++)
        {
            var (json, jump) = (JsonDocument.Parse(lines[i]).RootElement, Athlete.Jumps[i]);
            Assert.All(keys, key => Assert.True(json.TryGetProperty(key, out _), key));
            Assert.Equal("amsel", json.GetProperty("athlete").GetString());
            Assert.Equal(jump.TakeoffS, json.GetProperty("takeoffS").GetDouble(), 1e-6);
            Assert.Equal(jump.LandingS - jump.TakeoffS, json.GetProperty("flightTimeS").GetDouble(), 1e-6);
            Assert.Equal(jump.TurnFlightDeg, json.GetProperty("turnFlightDeg").GetDouble(), 1e-6);
            Assert.Equal(jump.ShockAnkleLeftG is null, json.GetProperty("landingShockG").GetProperty("ankleLeft").ValueKind == JsonValueKind.Null);
            Assert.Equal(Enum.GetName(jump.Form)!.ToLowerInvariant(), json.GetProperty("form").GetString());
        }
    }

    [Fact]
    public void Distractors_are_told_by_kind_and_time()
    {
        var lines = Lines(text => TruthText.WriteDistractors(text, Athlete.Distractors));
        Assert.Equal(Athlete.Distractors.Count, lines.Length);
        var json = JsonDocument.Parse(lines[0]).RootElement;
        Assert.Equal("standing", json.GetProperty("distractor").GetString());
        Assert.Equal(Athlete.Distractors[0].EndS, json.GetProperty("endS").GetDouble(), 1e-6);
        Assert.All(lines, line => Assert.Matches("^[a-z]+(-[a-z]+)*$", JsonDocument.Parse(line).RootElement.GetProperty("distractor").GetString()));
    }
}

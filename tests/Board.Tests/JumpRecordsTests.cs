using Saltograph.Board.Records;
using Saltograph.Board.Text;

namespace Saltograph.Board.Tests;

/// <summary>What the page of a jump makes of a record and its course.</summary>
public sealed class JumpRecordsTests
{
    private const int Nodes = 161;

    private static JumpSheet Sheet(string more = "") => new(
        $$"""{"athlete":"amsel","takeoffS":1800000000,"peakS":1800000000.2,"landingS":1800000000.4,"flightTimeS":0.4,"takeoffFoot":"left","landingFoot":"right","trunkRiseM":0.25,"absorptionTimeS":0.2,"uncertainty":null,"quality":[]{{more}}}""");

    private static JumpCourse Course(Func<double, double> left, Func<double, double> right)
    {
        double[] timeS = [.. Enumerable.Range(0, Nodes).Select(node => node < 120 ? -0.4 + (0.8 * node / 120) : 0.4 + (0.2 * (node - 120) / 40))];
        timeS[60] = 0;
        return new()
        {
            PhaseStarts = [0, 20, 60, 120, 160],
            TimeS = timeS,
            AccelerationUpMps2 = [.. timeS.Select(at => at is > 0 and < 0.4 ? -9.80665 : 9.80665)],
            VelocityUpMps = timeS,
            TurnRateDps = [.. timeS.Select(_ => 200.0)],
            InclinationLeftDeg = [.. timeS.Select(left)],
            InclinationRightDeg = [.. timeS.Select(right)],
            InclinationTrunkDeg = [.. timeS.Select(_ => 10.0)],
        };
    }

    [Fact]
    public void The_figure_stands_on_the_foot_that_the_record_names_and_rises_by_what_the_trunk_rose()
    {
        var poses = StickPose.Of(Course(at => at < 0.1 ? -30 : 40, at => at < 0.1 ? 50 : -20), Sheet());
        Assert.Equal(["takeoff", "top", "landing", "deepest"], poses.Select(pose => pose.Instant), StringComparer.Ordinal);
        Assert.Equal("left", Assert.Single(poses[0].Legs, leg => leg.Stands).Side);
        Assert.Equal("right", Assert.Single(poses[2].Legs, leg => leg.Stands).Side);
        Assert.DoesNotContain(poses[1].Legs, leg => leg.Stands);
        Assert.Equal(0.25, poses[1].HipM - poses[0].HipM, 9);
        Assert.All(poses.Where(pose => pose.Instant != "top"), pose => Assert.Equal(
            StickPose.AnkleM, pose.HipM - pose.Legs.Where(leg => leg.Stands).Max(leg => leg.DropM), 9));
    }

    // Plane geometry: with shank and thigh of like length the hip is above the ankle when both lean alike to opposite sides.
    [Fact]
    public void At_the_deepest_point_the_hip_is_above_the_standing_foot_and_lower_than_with_a_straight_knee()
    {
        var poses = StickPose.Of(Course(at => at < 0.1 ? -30 : 10, at => at < 0.3 ? 20 : -35), Sheet());
        var standing = Assert.Single(poses[^1].Legs, leg => leg.Stands);
        Assert.Equal(-standing.ShankDeg, standing.ThighDeg);
        Assert.True(poses[^1].HipM < StickPose.ThighM + StickPose.ShankM + StickPose.AnkleM - 0.1);
    }

    [Fact]
    public void Legs_whose_front_is_not_known_are_drawn_with_the_take_off_leg_behind_and_the_page_says_so()
    {
        var poses = StickPose.Of(Course(_ => 60, _ => 70), Sheet());
        Assert.All(poses, pose => Assert.True(pose.SidesAssumed));
        Assert.Equal([-60, 70], poses[1].Legs.Select(leg => leg.ShankDeg));
    }

    [Fact]
    public void A_leg_without_a_sensor_is_left_out()
    {
        var course = Course(at => at, at => at) with { InclinationRightDeg = null, InclinationTrunkDeg = null };
        Assert.All(StickPose.Of(course, Sheet()), pose => Assert.True(pose.Legs is [{ Side: "left" }] && pose.TrunkLeanDeg is null));
    }

    [Fact]
    public void Every_line_lies_inside_its_panel_and_names_do_not_cover_each_other()
    {
        var plot = new CoursePlot(Course(at => 200 * at, at => -300 * at) with { SplitAngleDeg = [.. Enumerable.Range(0, Nodes).Select(_ => 120.0)], ForceTrunkG = [.. Enumerable.Range(0, Nodes).Select(i => i / 10.0)] });
        Assert.Equal(["acceleration", "turn", "shanks", "force"], plot.Panels.Select(panel => panel.Key), StringComparer.Ordinal);
        foreach (var panel in plot.Panels)
        {
            Assert.All(panel.Ticks, tick => Assert.InRange(tick.Y, panel.Top - 0.01, panel.Top + panel.Height + 0.01));
            Assert.Contains(panel.Ticks, tick => tick.Value == 0);
            Assert.All(panel.Lines.SelectMany(line => line.Path.Split(['M', 'L'], StringSplitOptions.RemoveEmptyEntries)), point =>
            {
                var numbers = point.Split(' ').Select(number => double.Parse(number, System.Globalization.CultureInfo.InvariantCulture)).ToArray();
                Assert.InRange(numbers[0], CoursePlot.PanelLeft - 0.1, CoursePlot.PanelRight + 0.1);
                Assert.InRange(numbers[1], panel.Top - 0.1, panel.Top + panel.Height + 0.1);
            });
            var names = panel.Lines.Select(line => line.NameY).Order().ToArray();
            Assert.All(names.Zip(names.Skip(1)), pair => Assert.True(pair.Second - pair.First >= 18, $"{panel.Key}: names {pair.Second - pair.First} apart"));
        }

        Assert.Equal(plot.X(0), plot.X(plot.TimeTicks().Single(tick => Math.Abs(tick) < 1e-9)), 6);
    }

    [Fact]
    public void A_course_of_the_trunk_alone_has_no_panel_of_shanks()
    {
        var plot = new CoursePlot(Course(_ => 0, _ => 0) with { InclinationLeftDeg = null, InclinationRightDeg = null });
        Assert.Equal(["acceleration", "turn"], plot.Panels.Select(panel => panel.Key), StringComparer.Ordinal);
    }

    [Theory]
    [InlineData("splitAngleDeg", "[\"ankle-left-missing\"]", "ankle-left")]
    [InlineData("splitAngleDeg", "[\"ankle-left-missing\",\"ankle-right-missing\"]", "both-ankles")]
    [InlineData("splitAngleDeg", "[\"no-still-phase\"]", "no-still-phase")]
    [InlineData("landingShockG.ankleRight", "[\"ankle-right-missing\"]", "ankle-right")]
    [InlineData("landingShockG.ankleRight", "[]", "contact-not-seen")]
    [InlineData("inertiaGrowth", "[]", "slow-turn")]
    [InlineData("pushOffTimeS", "[\"packet-gap\"]", "push-not-seen")]
    [InlineData("turnFlightDeg", "[\"packet-gap\"]", "gap")]
    public void What_is_not_measured_says_why(string key, string quality, string why) =>
        Assert.Equal(why, WhyNot.Key(new($$"""{"landingFoot":"left","turnRateTakeoffDps":20,"turnRateTopDps":300,"quality":{{quality}}}"""), key));

    [Fact]
    public void Every_measure_has_a_name_an_explanation_and_a_source_and_every_reason_a_text()
    {
        var words = new Words();
        foreach (var measure in Measures.All.SelectMany(chapter => chapter.Rows))
        {
            Assert.All(new[] { "", ".help", ".source" }, ending => Assert.True(words.Has($"measure.{measure.Key}{ending}"), measure.Key + ending));
            foreach (var quality in new[] { "", "\"ankle-left-missing\"", "\"ankle-right-missing\"", "\"ankle-left-missing\",\"ankle-right-missing\"", "\"no-still-phase\"", "\"packet-gap\"" })
            {
                var why = WhyNot.Key(new($$"""{"quality":[{{quality}}]}"""), measure.Key);
                Assert.True(words.Has($"why.{why}"), why);
            }
        }
    }
}

using System.Globalization;
using System.Net;
using System.Text.Json;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Store.Rows;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Api;

/// <summary>What the interface says of change: only beyond error, and against her own.</summary>
public sealed class ChangeApiTests
{
    private const long DayUs = 86_400_000_000;

    // By arithmetic: SEM 0.009 m gives 1.96 sqrt(2) 0.009 = 0.0249 m; 18 jumps that fall by 5 mm each, thirds of six: medians 12 jumps apart.
    [Fact]
    public async Task A_training_tells_a_change_beyond_error_and_nothing_below()
    {
        await using var hall = await ApiHall.StartAsync();
        await TrainAsync(hall, "tiring", 0, 18, number => 0.40 - (0.005 * number));
        await TrainAsync(hall, "steady", 1, 18, number => 0.40 - (0.001 * number));
        await TrainAsync(hall, "short", 2, 14, number => 0.40 - (0.005 * number));

        var body = await hall.GetAsync("/api/v1/sessions/tiring/change");
        Assert.Equal(18, body.GetProperty("jumps").GetInt32());
        var height = Height(body);
        Assert.Equal("m", height.GetProperty("unit").GetString());
        Assert.Equal(0.009, height.GetProperty("standardError").GetDouble(), 1e-9);
        Assert.Equal(0.0249, height.GetProperty("minimalDetectableChange").GetDouble(), 1e-4);
        Assert.Equal(-0.06, height.GetProperty("change").GetDouble(), 1e-5);
        Assert.Equal(-0.005, height.GetProperty("slopePerJump").GetDouble(), 1e-6);

        var steady = Height(await hall.GetAsync("/api/v1/sessions/steady/change"));
        Assert.All(["change", "changePercent", "slopePerJump"], key => Assert.Equal(JsonValueKind.Null, steady.GetProperty(key).ValueKind));
        Assert.Empty((await hall.GetAsync("/api/v1/sessions/short/change")).GetProperty("changes").EnumerateArray()); // fewer than 15 of the element
        using var none = await hall.Client.GetAsync(new Uri("/api/v1/sessions/never/change", UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.NotFound, none.StatusCode);
    }

    // SI of 10 and 14 is 33.33 per cent, LSI 71.43, ASY 28.57 (by definition of the indices); MDC of an error of 4 is 11.09 points.
    [Fact]
    public async Task Sides_are_told_against_her_own_earlier_trainings()
    {
        await using var hall = await ApiHall.StartAsync();
        for (var day = 0; day < 6; day++)
        {
            await TrainAsync(hall, $"t{day}", day, 40, _ => 0.3, leftG: 10, rightG: 14);
        }

        await TrainAsync(hall, "other", 6, 40, _ => 0.3, leftG: 14, rightG: 10);
        await TrainAsync(hall, "few", 7, 12, _ => 0.3, leftG: 14, rightG: 10);
        var body = await hall.GetAsync("/api/v1/athletes/amber/symmetry?from=2027-01-10T00:00:00Z&before=2027-02-01T00:00:00Z");
        Assert.Equal(11.087, body.GetProperty("minimalDetectableChangePercent").GetDouble(), 1e-3);
        var trainings = body.GetProperty("trainings").EnumerateArray().ToList();
        Assert.Equal(8, trainings.Count);
        Assert.Equal(33.333, trainings[0].GetProperty("symmetryIndexPercent").GetDouble(), 1e-3);
        Assert.Equal(71.429, trainings[0].GetProperty("limbSymmetryPercent").GetDouble(), 1e-3);
        Assert.Equal(28.571, trainings[0].GetProperty("asymmetryPercent").GetDouble(), 1e-3);
        Assert.Equal(JsonValueKind.Null, trainings[4].GetProperty("baselinePercent").ValueKind); // four earlier ones: no baseline yet
        Assert.Equal(33.333, trainings[5].GetProperty("baselinePercent").GetDouble(), 1e-3);
        Assert.Equal(JsonValueKind.Null, trainings[5].GetProperty("changePercent").ValueKind); // uneven as ever
        Assert.Equal(-66.667, trainings[6].GetProperty("changePercent").GetDouble(), 1e-3);
        Assert.Equal(6, trainings[6].GetProperty("earlierTrainings").GetInt32());
        Assert.Equal(JsonValueKind.Null, trainings[7].GetProperty("symmetryIndexPercent").ValueKind); // six landings on a side, ten are needed

        // A stretch that begins later still knows the trainings before it.
        var late = await hall.GetAsync("/api/v1/athletes/amber/symmetry?from=2027-01-21T00:00:00Z&before=2027-01-22T00:00:00Z");
        Assert.Equal(-66.667, Assert.Single(late.GetProperty("trainings").EnumerateArray()).GetProperty("changePercent").GetDouble(), 1e-3);
    }

    [Fact]
    public async Task A_clipped_shock_counts_as_its_lower_bound_for_sides_and_not_for_change()
    {
        await using var hall = await ApiHall.StartAsync();
        await TrainAsync(hall, "clipped", 0, 40, _ => 0.3, leftG: 16, rightG: 12, quality: ["saturated", "saturated-ankle-left"]);
        var changes = (await hall.GetAsync("/api/v1/sessions/clipped/change")).GetProperty("changes").EnumerateArray().ToList();
        Assert.Equal("right", Assert.Single(changes, change => change.GetProperty("measure").GetString() == "shock").GetProperty("landingLeg").GetString());
        var load = await hall.GetAsync("/api/v1/athletes/amber/load?day=2027-01-15");
        var sums = load.GetProperty("today").GetProperty("shockSums").EnumerateArray().ToList();
        Assert.Contains(sums, sum => sum.GetProperty("saturated").GetInt32() == 20); // "at least" is said of the sum, too
    }

    // Heights of trainings alternate by 2 cm about her own: differences +-0.02, so SEM = 0.02 sqrt(n / (n - 1)) / sqrt(2), by hand.
    [Fact]
    public async Task The_hall_s_own_error_comes_from_trainings_that_follow_each_other()
    {
        await using var hall = await ApiHall.StartAsync();
        foreach (var (athlete, own) in new[] { ("amber", 0.30), ("beryl", 0.36) })
        {
            for (var day = 0; day < 11; day++)
            {
                await TrainAsync(hall, $"{athlete}{day}", day, 10, _ => own + (0.01 * (day % 2 == 0 ? 1 : -1)), athlete: athlete);
            }
        }

        const string stretch = "from=2027-01-01T00:00:00Z&before=2027-02-10T00:00:00Z";
        var height = Measure(await hall.GetAsync("/api/v1/reliability?" + stretch), "height");
        Assert.Equal(40, height.GetProperty("pairs").GetInt32()); // ten each of two athletes and two legs
        Assert.Equal(0.02 * Math.Sqrt(40.0 / 39 / 2), height.GetProperty("standardError").GetDouble(), 1e-5);
        Assert.Equal(1.96 * Math.Sqrt(2) * 0.02 * Math.Sqrt(40.0 / 39 / 2), height.GetProperty("minimalDetectableChange").GetDouble(), 1e-5);
        Assert.Equal(0.009, height.GetProperty("standardErrorInRules").GetDouble(), 1e-9);
        var hers = Measure(await hall.GetAsync("/api/v1/reliability?athlete=amber&form=leap&" + stretch), "height");
        Assert.Equal(20, hers.GetProperty("pairs").GetInt32());
        var contact = Measure(await hall.GetAsync("/api/v1/reliability?" + stretch), "contact-time");
        Assert.Equal(JsonValueKind.Null, contact.GetProperty("standardError").ValueKind);
    }

    [Theory]
    [InlineData("athletes/amber/symmetry?form=leep", "form")]
    [InlineData("athletes/Amber/symmetry", "athlete")]
    [InlineData("reliability?from=2027-02-01T00:00:00Z&before=2027-01-01T00:00:00Z", "before")]
    [InlineData("reliability?sessions=3", "sessions")]
    [InlineData("sessions/any/change?form=leap", "form")]
    public async Task A_wrong_question_is_refused_with_the_key(string path, string where)
    {
        await using var hall = await ApiHall.StartAsync();
        using var answer = await hall.Client.GetAsync(new Uri("/api/v1/" + path, UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var problem = JsonElement.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.Equal(where, Assert.Single(problem.GetProperty("faults").EnumerateArray()).GetProperty("where").GetString());
    }

    [Fact]
    public async Task Both_engines_give_the_same_answers()
    {
        Assert.SkipWhen(PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        await using var server = await PostgresServer.StartAsync();
        await using var first = await ApiHall.StartAsync();
        await using var second = await ApiHall.StartAsync(new() { Kind = "postgresql", Host = "127.0.0.1", Port = server.Port });
        foreach (var hall in new[] { first, second })
        {
            var random = new Random(3);
            for (var day = 0; day < 14; day++)
            {
                await TrainAsync(hall, $"t{day}", day, 60, number => 0.35 + (0.03 * random.NextDouble()) - (0.001 * number), leftG: 9 + random.NextDouble(), rightG: 10 + random.NextDouble(), quality: day % 3 == 0 ? ["saturated", "saturated-ankle-right"] : []);
            }
        }

        foreach (var path in new[] { "sessions/t3/change", "sessions/t4/change", "athletes/amber/symmetry?from=2027-01-10T00:00:00Z&before=2027-02-10T00:00:00Z", "reliability?from=2027-01-10T00:00:00Z&before=2027-02-10T00:00:00Z", "athletes/amber/load?day=2027-01-20&shockExponent=2" })
        {
            Assert.Equal((await first.GetAsync("/api/v1/" + path)).GetRawText(), (await second.GetAsync("/api/v1/" + path)).GetRawText());
        }
    }

    private static JsonElement Height(JsonElement body) => Assert.Single(body.GetProperty("changes").EnumerateArray(), change => change.GetProperty("measure").GetString() == "height");

    private static JsonElement Measure(JsonElement body, string measure) => Assert.Single(body.GetProperty("measures").EnumerateArray(), line => line.GetProperty("measure").GetString() == measure);

    // Leaps a minute apart. With shocks of both sides, or two athletes, they land left and right in turn; else on the right.
    internal static async Task TrainAsync(
        ApiHall hall, string id, int day, int jumps, Func<int, double> heightM, double? leftG = null, double? rightG = null, string athlete = "amber", IReadOnlyList<string>? quality = null)
    {
        var openedUs = ApiHall.MorningUs + (day * DayUs);
        var rows = Enumerable.Range(0, jumps).Select(number =>
        {
            var isLeft = number % 2 == 0 && (leftG is not null || id.StartsWith(athlete, StringComparison.Ordinal));
            var record = Hosting.ScriptedMeasuring.Record(number) with
            {
                Form = Jumps.JumpForm.Leap,
                HeightM = heightM(number),
                TakeoffTime = new(openedUs + (number * 60_000_000L)),
                PeakTime = new(openedUs + (number * 60_000_000L) + 200_000),
                LandingTime = new(openedUs + (number * 60_000_000L) + 400_000),
                LandingFoot = isLeft ? Jumps.Foot.Left : Jumps.Foot.Right,
                LandingShockG = new(null, isLeft ? leftG : null, isLeft ? null : rightG),
                Quality = quality ?? [],
            };
            return FactRows.Of(
                new JumpMeasured(new(athlete), string.Create(CultureInfo.InvariantCulture, $"{id}.{number}"), record), new HallDays(TimeZoneInfo.Utc));
        }).ToList();
        await hall.Store.WriteAsync(async transaction =>
        {
            await transaction.AddAthleteAsync(athlete, openedUs);
            await transaction.OpenSessionAsync(new SessionRow { Id = id, Athlete = athlete, OpenedUs = openedUs, OpenedBy = "coach-1" });
            foreach (var row in rows)
            {
                await transaction.AddJumpAsync(row);
            }

            await transaction.CloseSessionAsync(id, openedUs + (jumps * 60_000_000L), "coach-1");
            return true;
        });
    }
}

using System.Globalization;
using System.Net;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json;
using Saltograph.Store.Rows;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Api;

public sealed class LoadApiTests
{
    private static readonly DateOnly First = new(2027, 1, 1);

    // Williams, West, Cross and Stokes 2017: lambda = 2 / (N + 1), so 0.25 and 0.0689655 for 7 and 28 days: after 28 free days, a load of 1.
    [Fact]
    public async Task The_newest_day_weighs_as_published()
    {
        await using var hall = await ApiHall.StartAsync();
        await EnterAsync(hall, [.. Enumerable.Repeat(0.0, 28), 1]);
        var last = (await LoadAsync(hall, 29)).GetProperty("curve").EnumerateArray().Last();
        Assert.Equal(0.25, last.GetProperty("acute").GetDouble(), 1e-7);
        Assert.Equal(0.0689655, last.GetProperty("chronic").GetDouble(), 1e-7);
    }

    // By hand from the same recursion: 28 days of 100 and one of 300.
    [Fact]
    public async Task A_single_large_day_moves_the_curves_as_worked_out_by_hand()
    {
        await using var hall = await ApiHall.StartAsync();
        await EnterAsync(hall, [.. Enumerable.Repeat(100.0, 28), 300]);
        var load = await LoadAsync(hall, 29);
        var last = load.GetProperty("curve").EnumerateArray().Last();
        Assert.Equal(150.000, last.GetProperty("acute").GetDouble(), 1e-6);
        Assert.Equal(113.793103, last.GetProperty("chronic").GetDouble(), 1e-6);
        Assert.Equal(1.318182, load.GetProperty("acuteToChronic").GetProperty("ratio").GetDouble(), 1e-6);
        Assert.NotEmpty(load.GetProperty("acuteToChronic").GetProperty("caveat").GetString()!);
        var before = (await LoadAsync(hall, 27)).GetProperty("curve").EnumerateArray().Last();
        Assert.Equal(JsonValueKind.Null, before.GetProperty("chronic").ValueKind); // hidden until 28 days are known
    }

    // Foster 1998. First row: monotony 0.94 over n in a published example; the values over n - 1 and the second row by hand.
    [Theory]
    [InlineData(new double[] { 50, 0, 100, 50, 0, 150, 0 }, 0.9354, 327.40, 0.8660, 303.11)]
    [InlineData(new double[] { 400, 380, 420, 400, 390, 410, 0 }, 2.4406, 5857.5, null, null)]
    public async Task Monotony_and_strain_come_with_both_standard_deviations(double[] loads, double overN, double strainOverN, double? overNMinus1, double? strainOverNMinus1)
    {
        await using var hall = await ApiHall.StartAsync();
        await EnterAsync(hall, loads);
        var week = (await LoadAsync(hall, 7)).GetProperty("week");
        Assert.Equal(overN, week.GetProperty("monotonyOverN").GetDouble(), 1e-3);
        Assert.InRange(week.GetProperty("strainOverN").GetDouble(), strainOverN - 0.05, strainOverN + 0.05);
        if (overNMinus1 is { } monotony && strainOverNMinus1 is { } strain)
        {
            Assert.Equal(monotony, week.GetProperty("monotonyOverNMinus1").GetDouble(), 1e-3);
            Assert.InRange(week.GetProperty("strainOverNMinus1").GetDouble(), strain - 0.05, strain + 0.05);
        }
    }

    [Fact]
    public async Task The_same_jumps_give_the_same_answers_on_both_engines()
    {
        Assert.SkipWhen(PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        await using var server = await PostgresServer.StartAsync();
        await using var first = await ApiHall.StartAsync();
        await using var second = await ApiHall.StartAsync(new() { Kind = "postgresql", Host = "127.0.0.1", Port = server.Port });
        var random = new Random(7);
        var jumps = Enumerable.Range(1, 300).Select(number => ApiHall.Jump(
            "amber", number, ApiHall.MorningUs + (random.Next(40) * 86_400_000_000L) + number, 0.25 + (random.NextDouble() * 0.3), random.NextDouble() * 30, random.NextDouble() * 30)).ToList();
        await first.StoreAsync(jumps);
        await second.StoreAsync(jumps.AsEnumerable().Reverse());
        foreach (var path in new[] { "athletes/amber/load?day=2027-02-20&measure=height&shockExponent=3", "athletes/amber/load?day=2027-02-01", "squad/load?day=2027-02-20", "jumps?limit=300&shockFromG=12&shockBelowG=20" })
        {
            Assert.Equal((await first.GetAsync("/api/v1/" + path)).GetRawText(), (await second.GetAsync("/api/v1/" + path)).GetRawText());
        }
    }

    [Theory]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":{"jumps":-1},"enteredBy":"coach-1"}""", "limits.jumps")]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":{"jumpz":100},"enteredBy":"coach-1"}""", "limits")]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":{"jumps":"100"},"enteredBy":"coach-1"}""", "limits")]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":[],"enteredBy":"coach-1"}""", "limits")]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":{"jumps":100}}""", "enteredBy")]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":{"jumps":100},"enteredBy":"coach-1","more":1}""", "body")]
    [InlineData("amber/plans/2027-02-30/plan", """{"limits":{"jumps":100},"enteredBy":"coach-1"}""", "day")]
    [InlineData("amber/plans/2027-01-15/wish", """{"limits":{"jumps":100},"enteredBy":"coach-1"}""", "kind")]
    [InlineData("Amber/plans/2027-01-15/plan", """{"limits":{"jumps":100},"enteredBy":"coach-1"}""", "athlete")]
    [InlineData("amber/plans/2027-01-15/plan", """{"limits":""", "body")]
    [InlineData("amber/plans/2027-01-15/plan", "null", "body")]
    public async Task A_wrong_plan_is_refused_as_a_whole(string path, string body, string where)
    {
        await using var hall = await ApiHall.StartAsync();
        using var content = new StringContent(body, Encoding.UTF8, "application/json");
        using var answer = await hall.Client.PutAsync(new Uri("/api/v1/athletes/" + path, UriKind.Relative), content, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var problem = JsonElement.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.Equal(where, Assert.Single(problem.GetProperty("faults").EnumerateArray()).GetProperty("where").GetString());
        Assert.Empty((await hall.GetAsync("/api/v1/plans?fromDay=2027-01-01&toDay=2027-12-31")).GetProperty("plans").EnumerateArray());
        Assert.Empty((await hall.GetAsync("/api/v1/athletes")).GetProperty("athletes").EnumerateArray());
    }

    // RFC 4180 section 2: lines end with CR LF, each has as many fields as the header.
    [Fact]
    public async Task An_export_has_each_jump_of_the_filter_once()
    {
        await using var hall = await ApiHall.StartAsync();
        await hall.StoreAsync(Enumerable.Range(1, 1200).Select(number => ApiHall.Jump(number % 2 == 0 ? "amber" : "beryl", number, ApiHall.MorningUs + (number * 1000L), leftG: 9.5)));
        var csv = await hall.Client.GetStringAsync(new Uri("/api/v1/export/jumps.csv?athlete=amber", UriKind.Relative), TestContext.Current.CancellationToken);
        var rows = csv.Split("\r\n");
        Assert.Equal("", rows[^1]);
        Assert.Equal(600, rows[1..^1].Select(row => row.Split(',')[0]).Distinct(StringComparer.Ordinal).Count());
        Assert.All(rows[..^1], row => Assert.Equal(rows[0].Split(',').Length, row.Split(',').Length));
        var column = Array.IndexOf(rows[0].Split(','), "landingShockG.ankleLeft");
        Assert.All(rows[1..^1], row => Assert.Equal("9.5", row.Split(',')[column]));
        var lines = await hall.Client.GetStringAsync(new Uri("/api/v1/export/jumps.jsonl?athlete=beryl", UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(600, lines.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonElement.Parse(line).GetProperty("id").GetString()).Distinct(StringComparer.Ordinal).Count());
    }

    private static Task<JsonElement> LoadAsync(ApiHall hall, int day) => hall.GetAsync(string.Create(
        CultureInfo.InvariantCulture, $"/api/v1/athletes/amber/load?measure=exertion&day={First.AddDays(day - 1):yyyy-MM-dd}"));

    // A load of 0 is a day without anything and a plan of 0 jumps, entered over HTTP; any other a training with exertion 10.
    private static async Task EnterAsync(ApiHall hall, double[] loads)
    {
        for (var i = 0; i < loads.Length; i++)
        {
            var day = First.AddDays(i);
            if (loads[i] == 0)
            {
                using var answer = await hall.Client.PutAsJsonAsync(
                    new Uri(string.Create(CultureInfo.InvariantCulture, $"/api/v1/athletes/amber/plans/{day:yyyy-MM-dd}/plan"), UriKind.Relative),
                    new { limits = new { jumps = 0 }, enteredBy = "coach-1" },
                    TestContext.Current.CancellationToken);
                Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
                continue;
            }

            var openedUs = ((DateTimeOffset)day.ToDateTime(new(9, 0), DateTimeKind.Utc)).ToUnixTimeMilliseconds() * 1000;
            await hall.Store.WriteAsync(transaction => transaction.OpenSessionAsync(new SessionRow
            {
                Id = string.Create(CultureInfo.InvariantCulture, $"s{i}"),
                Athlete = "amber",
                OpenedUs = openedUs,
                OpenedBy = "coach-1",
                ClosedUs = openedUs + 3_600_000_000,
                ClosedBy = "coach-1",
                Exertion = 10,
                Minutes = loads[i] / 10,
            }));
        }
    }
}

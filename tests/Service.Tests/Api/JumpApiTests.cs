using System.Net;
using System.Text.Json;

namespace Saltograph.Service.Tests.Api;

public sealed class JumpApiTests
{
    [Fact]
    public async Task One_jump_is_found_by_its_event_id_with_every_key_of_the_record()
    {
        await using var hall = await ApiHall.StartAsync();
        await hall.StoreAsync(ApiHall.Jump("amber", 1, ApiHall.MorningUs, leftG: 12.5));
        var jump = await hall.GetAsync("/api/v1/jumps/amber.1");
        Assert.Equal("amber.1", jump.GetProperty("id").GetString());
        Assert.Equal("2027-01-15", jump.GetProperty("day").GetString());
        Assert.Equal(0.4, jump.GetProperty("flightTimeS").GetDouble());
        Assert.Equal(12.5, jump.GetProperty("landingShockG").GetProperty("ankleLeft").GetDouble());
        Assert.Equal(JsonValueKind.Null, jump.GetProperty("landingShockG").GetProperty("trunk").ValueKind);
        Assert.Equal(JsonValueKind.Null, jump.GetProperty("splitAngleDeg").ValueKind);
        Assert.StartsWith("2027-01-15T08:00:00", jump.GetProperty("landing").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_course_of_a_jump_is_what_was_stored_and_null_where_it_was_not_measured()
    {
        await using var hall = await ApiHall.StartAsync();
        double[] node = [.. Enumerable.Range(0, Jumps.JumpCurves.NodeCount).Select(i => i / 100.0)];
        var curves = new Jumps.JumpCurves { TimeS = node, AccelerationUpMps2 = node, VelocityUpMps = node, TurnRateDps = [.. node.Select(_ => -500.0)] };
        var jump = ApiHall.Jump("amber", 1, ApiHall.MorningUs) with { Id = "amber.1" };
        await hall.StoreAsync(jump);
        await hall.Store.WriteAsync(transaction => transaction.AddCurvesAsync("amber.1", Service.Durability.CurveBytes.Pack(curves)), TestContext.Current.CancellationToken);
        var body = await hall.GetAsync("/api/v1/jumps/amber.1/curves");
        Assert.Equal([0, 20, 60, 120, 160], body.GetProperty("phaseStarts").EnumerateArray().Select(place => place.GetInt32()));
        Assert.Equal(node, body.GetProperty("accelerationUpMps2").EnumerateArray().Select(value => value.GetDouble()));
        Assert.Equal(-500, body.GetProperty("turnRateDps")[160].GetDouble());
        Assert.Equal(JsonValueKind.Null, body.GetProperty("splitAngleDeg").ValueKind);
    }

    [Fact]
    public async Task Class_of_the_landing_and_apparatus_of_the_training_are_told_and_can_be_asked_for()
    {
        await using var hall = await ApiHall.StartAsync();
        await hall.Store.WriteAsync(
            transaction => transaction.OpenSessionAsync(new() { Id = "amber-1", Athlete = "amber", OpenedUs = ApiHall.MorningUs, OpenedBy = "coach-1", Kind = "apparatus", Apparatus = "ribbon" }),
            TestContext.Current.CancellationToken);
        await hall.StoreAsync(
            ApiHall.Jump("amber", 1, ApiHall.MorningUs - 1) with { LandingClass = "hard" },
            ApiHall.Jump("amber", 2, ApiHall.MorningUs + 1) with { LandingClass = "normal" },
            ApiHall.Jump("amber", 3, ApiHall.MorningUs + 2) with { LandingClass = "hard" },
            ApiHall.Jump("amber", 4, ApiHall.MorningUs + 3));
        var found = (await hall.GetAsync("/api/v1/jumps?landingClass=hard&apparatus=ribbon")).GetProperty("jumps");
        Assert.Equal("amber.3 ribbon hard", string.Join(' ', found.EnumerateArray().Select(jump => $"{jump.GetProperty("id")} {jump.GetProperty("apparatus")} {jump.GetProperty("landingClass")}")));
        var before = await hall.GetAsync("/api/v1/jumps/amber.1");
        Assert.Equal(JsonValueKind.Null, before.GetProperty("apparatus").ValueKind);
        Assert.Equal(JsonValueKind.Null, (await hall.GetAsync("/api/v1/jumps/amber.4")).GetProperty("landingClass").ValueKind);
        var csv = await hall.Client.GetStringAsync(new Uri("/api/v1/export/jumps.csv?landingClass=normal", UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Contains("amber-1,2027-01-15,ribbon,normal,amber,2,", csv, StringComparison.Ordinal);
    }

    // Checked against the plain meaning of each filter, over all rows, in 60 drawn queries.
    [Fact]
    public async Task Paging_through_any_filter_gives_each_jump_once_and_in_order()
    {
        await using var hall = await ApiHall.StartAsync();
        var random = new Random(20261126);
        var rows = Enumerable.Range(1, 90).Select(number => ApiHall.Jump(
            number % 3 == 0 ? "beryl" : "amber",
            number,
            ApiHall.MorningUs + (random.Next(30) * 1_000_000L), // several at the same instant
            0.25 + (random.Next(30) * 0.01),
            number % 7 == 0 ? null : random.Next(4, 30),
            number % 5 == 0 ? null : random.Next(4, 30))).ToList();
        await hall.StoreAsync(rows);
        for (var round = 0; round < 60; round++)
        {
            string? athlete = random.Next(2) == 0 ? "amber" : null, foot = random.Next(3) == 0 ? "left" : null;
            double? heightM = random.Next(2) == 0 ? 0.1 + (random.Next(20) * 0.01) : null, shockG = random.Next(2) == 0 ? random.Next(5, 25) : null;
            long? fromS = random.Next(3) == 0 ? random.Next(20) : null;
            var isNewest = random.Next(2) == 0;
            var query = FormattableString.Invariant($"limit={random.Next(1, 40)}&order={(isNewest ? "newest-first" : "oldest-first")}")
                + (athlete is null ? "" : $"&athlete={athlete}")
                + (foot is null ? "" : $"&landingFoot={foot}")
                + FormattableString.Invariant($"{(heightM is null ? "" : "&heightFromM=")}{heightM}{(shockG is null ? "" : "&shockBelowG=")}{shockG}")
                + (fromS is null ? "" : FormattableString.Invariant($"&from=2027-01-15T08:00:{fromS:00}Z"));
            var wanted = rows
                .Where(row => athlete is null || row.Athlete == athlete)
                .Where(row => foot is null || row.LandingFoot == foot)
                .Where(row => heightM is null || row.HeightM >= heightM)
                .Where(row => shockG is null || LandingShockG(row) < shockG)
                .Where(row => fromS is null || row.LandingUs >= ApiHall.MorningUs + (fromS * 1_000_000))
                .OrderBy(row => row.LandingUs).ThenBy(row => row.Id, StringComparer.Ordinal).Select(row => row.Id).ToList();
            if (isNewest)
            {
                wanted.Reverse();
            }

            var found = new List<string>();
            string? after = null;
            do
            {
                var page = await hall.GetAsync($"/api/v1/jumps?{query}{(after is null ? "" : "&after=" + Uri.EscapeDataString(after))}");
                found.AddRange(page.GetProperty("jumps").EnumerateArray().Select(jump => jump.GetProperty("id").GetString()!));
                after = page.GetProperty("next").GetString();
            }
            while (after is not null);
            Assert.Equal(wanted, found);
        }
    }

    // RFC 9457 section 3: media type, status and title; where, found and allowed are our extension.
    [Theory]
    [InlineData("jumps?althete=amber", "althete", "known")]
    [InlineData("jumps?athlete=Amber", "athlete", "'Amber'")]
    [InlineData("jumps?athlete=amber&athlete=beryl", "athlete", "2 values")]
    [InlineData("jumps?form=split", "form", "'split'")]
    [InlineData("jumps?landingClass=hardest", "landingClass", "'hardest'")]
    [InlineData("jumps?apparatus=beam", "apparatus", "'beam'")]
    [InlineData("jumps?limit=0", "limit", "'0'")]
    [InlineData("jumps?limit=1.5", "limit", "'1.5'")]
    [InlineData("jumps?heightFromM=NaN", "heightFromM", "'NaN'")]
    [InlineData("jumps?shockFromG=1,5", "shockFromG", "'1,5'")]
    [InlineData("jumps?heightFromM=0.3&heightBelowM=0.2", "heightBelowM", "heightFromM")]
    [InlineData("jumps?from=2027-01-15T08:00:00", "from", "2027")]
    [InlineData("jumps?from=yesterday", "from", "'yesterday'")]
    [InlineData("jumps?after=7", "after", "'7'")]
    [InlineData("sessions?from=2027-01-15T08:00:00Z&before=2027-01-14T08:00:00Z", "before", "stretch")]
    [InlineData("athletes?limit=3", "limit", "known")]
    public async Task A_wrong_question_is_told_where_what_and_what_is_allowed(string path, string where, string found)
    {
        await using var hall = await ApiHall.StartAsync();
        using var answer = await hall.Client.GetAsync(new Uri("/api/v1/" + path, UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
        var problem = JsonElement.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.Equal(400, problem.GetProperty("status").GetInt32());
        var fault = Assert.Single(problem.GetProperty("faults").EnumerateArray());
        Assert.Equal(where, fault.GetProperty("where").GetString());
        Assert.Contains(found, fault.GetProperty("found").GetString(), StringComparison.Ordinal);
        Assert.NotEmpty(fault.GetProperty("allowed").GetString()!);
    }

    [Theory]
    [InlineData("/api/v1/jumps/nobody.1")]
    [InlineData("/api/v1/jumps/nobody.1/curves")]
    [InlineData("/api/v1/sessions/none")]
    [InlineData("/api/v1/nothing")]
    public async Task What_does_not_exist_is_a_problem_too(string path)
    {
        await using var hall = await ApiHall.StartAsync();
        using var answer = await hall.Client.GetAsync(new Uri(path, UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
    }

    private static double? LandingShockG(Store.Rows.JumpRow row) => row.LandingFoot switch
    {
        "left" => row.ShockAnkleLeftG,
        "right" => row.ShockAnkleRightG,
        _ => row.ShockAnkleLeftG is { } left && row.ShockAnkleRightG is { } right ? Math.Max(left, right) : row.ShockAnkleLeftG ?? row.ShockAnkleRightG,
    };
}

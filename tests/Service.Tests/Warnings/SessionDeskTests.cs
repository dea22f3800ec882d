using Saltograph.Jumps;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Warnings;

public sealed class SessionDeskTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_training_of_staff_takes_the_place_of_one_by_activity_and_the_jumps_that_follow()
    {
        await using var hall = await DeskHarness.StartAsync();
        using var desk = hall.Sessions();
        await hall.Store.WriteAsync(
            transaction => transaction.OpenSessionAsync(new() { Id = "amber-1", Athlete = "amber", OpenedUs = hall.Now.Microseconds, OpenedBy = SessionRow.Activity }), Stop);
        await hall.PassAsync(10);
        var before = await hall.LandAsync("amber", Foot.Left, 10);
        await hall.PassAsync(10);
        var (id, fault) = await desk.OpenAsync("amber", "coach-1", new() { Kind = SessionRow.RunThroughKind, Apparatus = "ribbon" }, Stop);
        Assert.Null(fault);
        await hall.PassAsync(10);
        var after = await hall.LandAsync("amber", Foot.Left, 10);
        await hall.PassAsync(10);

        Assert.Null(await desk.DescribeAsync(id!, "coach-1", new() { Kind = SessionRow.RunThroughKind, Apparatus = "ribbon", Notes = "first run", Exertion = 7, Minutes = 50 }, Stop));
        Assert.Null(await desk.CloseAsync(id!, "coach-1", Stop));
        var judged = (await hall.Store.Warnings.InputsAsync(0, [], Stop)).Where(input => input.Kind == "jump").Select(input => input.Body).ToList();
        Assert.DoesNotContain("apparatus", judged[0], StringComparison.Ordinal);
        Assert.Contains("\"apparatus\":\"ribbon\"", judged[1], StringComparison.Ordinal); // as it was known when it was judged
        Assert.Equal("amber-1", (await hall.Store.Jumps.FindAsync(before, Stop))!.Session);
        Assert.Equal(id, (await hall.Store.Jumps.FindAsync(after, Stop))!.Session);
        var training = (await hall.Store.Sessions.FindAsync(id!, Stop))!;
        Assert.Equal(("coach-1", "coach-1", "run-through", "ribbon", "first run", 7.0, 50.0), (training.OpenedBy, training.ClosedBy, training.Kind, training.Apparatus, training.Notes, training.Exertion, training.Minutes));
        Assert.Equal("coach-1", (await hall.Store.Sessions.FindAsync("amber-1", Stop))!.ClosedBy);
    }

    [Fact]
    public async Task What_is_not_allowed_is_refused_and_nothing_is_stored()
    {
        await using var hall = await DeskHarness.StartAsync();
        using var desk = hall.Sessions();
        Assert.Equal("athlete", (await desk.OpenAsync("nobody", "coach-1", new(), Stop)).Fault?.Where);
        Assert.Equal("who", (await desk.OpenAsync("amber", "activity", new(), Stop)).Fault?.Where);
        Assert.Equal("kind is 'party'; allowed: class, apparatus, run-through.", (await desk.OpenAsync("amber", "coach-1", new() { Kind = "party" }, Stop)).Fault?.ToString());
        Assert.Equal("apparatus", (await desk.OpenAsync("amber", "coach-1", new() { Apparatus = "beam" }, Stop)).Fault?.Where);
        Assert.Equal("exertion", (await desk.OpenAsync("amber", "coach-1", new() { Exertion = 11 }, Stop)).Fault?.Where);
        Assert.Equal("minutes", (await desk.OpenAsync("amber", "coach-1", new() { Minutes = double.NaN }, Stop)).Fault?.Where);
        Assert.Empty(await hall.Store.Sessions.OpenAsync(null, Stop));

        var (id, _) = await desk.OpenAsync("amber", "coach-1", new(), Stop);
        Assert.Contains(id!, (await desk.OpenAsync("amber", "coach-2", new(), Stop)).Fault!.Found, StringComparison.Ordinal);
        Assert.Null(await desk.CloseAsync(id!, "coach-1", Stop));
        Assert.Contains("closed already", (await desk.CloseAsync(id!, "coach-1", Stop))!.Found, StringComparison.Ordinal);
        Assert.Equal("id", (await desk.DescribeAsync("none", "coach-1", new(), Stop))?.Where);
    }
}

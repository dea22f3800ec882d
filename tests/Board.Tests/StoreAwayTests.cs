using Microsoft.Data.Sqlite;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>Live pages of a hall whose store answers no more, and of a hall without anybody.</summary>
[Collection("board")]
public sealed class StoreAwayTests(Browser browser) : IAsyncLifetime
{
    private const float PatienceMs = 60_000;

    private readonly string _folder = Directory.CreateTempSubdirectory("saltograph-away-").FullName;
    private BoardProcess? _board;

    /// <inheritdoc/>
    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (_board is not null)
        {
            await _board.DisposeAsync();
        }

        Directory.Delete(_folder, recursive: true);
    }

    // A table that is not there is a fault of the database, as one that does not answer is.
    [Theory]
    [InlineData("warnings", "warnings", ".trial[data-live]")]
    [InlineData("sensors", "sensor_events", "article button:enabled")]
    public async Task A_live_page_whose_store_does_not_answer_says_of_when_it_is_and_goes_on_by_itself(string path, string table, string live)
    {
        var page = await OpenAsync(path, """{"sensor":"s-1","athlete":"aster","site":"trunk"}""");
        await page.Locator(live).First.WaitForAsync(new() { Timeout = PatienceMs });
        var notice = page.Locator("[role=alert][data-stale]");
        Assert.Equal(0, await notice.CountAsync());

        await ChangeAsync($"alter table {table} rename to put_away");
        await notice.WaitForAsync(new() { Timeout = PatienceMs });
        Assert.Matches(@"The store does not answer\. What you see is of \d+ \w+, \d\d:\d\d:\d\d; it goes on by itself\.", await notice.InnerTextAsync());

        await ChangeAsync($"alter table put_away rename to {table}");
        await notice.WaitForAsync(new() { State = WaitForSelectorState.Detached, Timeout = PatienceMs });
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Sensors_of_a_hall_without_anybody_says_so_and_where_the_roster_stands()
    {
        var page = await OpenAsync("sensors", "");
        Assert.Contains("roster.json", await page.Locator("p.nothing").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(0, await page.GetByRole(AriaRole.Article).CountAsync());
        await PageChecks.NoBarrierAsync(page);
        await PageChecks.FitsAPhoneAsync(page);
        await page.Context.CloseAsync();
    }

    private async Task<IPage> OpenAsync(string path, string sensors)
    {
        Assert.SkipWhen(Browser.Program is null, "Chromium is not installed");
        await File.WriteAllTextAsync(Path.Combine(_folder, "service.json"), """{"timeZone":"Europe/Berlin","people":{"anonymous":true},"http":{"port":0},"store":{"file":"hall.db"},"recordings":{"folder":"recordings"},"broker":{"embeddedBroker":{"port":0}}}""");
        await File.WriteAllTextAsync(Path.Combine(_folder, "thresholds.json"), "{}");
        await File.WriteAllTextAsync(Path.Combine(_folder, "roster.json"), "{\"sensors\":[" + sensors + "]}");
        _board = await BoardProcess.ServeAsync(_folder);
        return await browser.OpenAsync(path, address: _board.Address);
    }

    private async Task ChangeAsync(string statement)
    {
        await using var store = new SqliteConnection($"Data Source={Path.Combine(_folder, "hall.db")}");
        await store.OpenAsync();
        await using var command = store.CreateCommand();
        command.CommandText = statement;
        await command.ExecuteNonQueryAsync();
    }
}

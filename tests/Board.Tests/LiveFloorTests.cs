using Microsoft.Extensions.Time.Testing;
using Saltograph.Board.Live;
using Saltograph.Board.Records;
using Saltograph.Imu;
using Saltograph.Load;

namespace Saltograph.Board.Tests;

/// <summary>What the floor shows of what it is told.</summary>
public sealed class LiveFloorTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 3, 7, 10, 0, 0, TimeSpan.Zero));
    private readonly LiveFloor _floor;

    public LiveFloorTests() => _floor = new(_time, [new("birke", [Site.Trunk, Site.AnkleLeft]), new("amsel", [Site.Trunk])]);

    private long NowUs => _time.GetUtcNow().ToUnixTimeMilliseconds() * 1000;

    private FloorCard Amsel => _floor.Frame.Places[0].Card;

    private static JumpSheet Sheet(long landingUs) => new($$"""{"athlete":"amsel","landingS":{{landingUs / 1e6m}},"flightTimeS":0.41,"heightM":0.2,"uncertainty":null}""");

    [Fact]
    public void Cards_stay_in_the_order_of_the_pseudonyms()
    {
        _floor.Moved("birke", [], [Site.Trunk]);
        Assert.Equal(["amsel", "birke"], _floor.Frame.Places.Select(place => place.Card.Athlete), StringComparer.Ordinal);
    }

    [Fact]
    public void A_card_is_the_same_object_while_only_the_strip_moves()
    {
        _floor.Moved("amsel", [], [Site.Trunk]);
        var before = Amsel;
        _time.Advance(TimeSpan.FromMilliseconds(100));
        _floor.Moved("amsel", [new(1, 0, 0, 0)], [Site.Trunk]);
        Assert.Same(before, Amsel);
    }

    [Fact]
    public void A_silent_sensor_is_told_after_two_seconds_and_a_silent_athlete_after_five()
    {
        _floor.Moved("amsel", [], [Site.Trunk]);
        Assert.False(Amsel.IsStale);
        Assert.True(Amsel.Sensors[0].IsHeard);
        _time.Advance(TimeSpan.FromSeconds(2.1));
        Assert.False(Amsel.Sensors[0].IsHeard);
        Assert.False(Amsel.IsStale);
        _time.Advance(TimeSpan.FromSeconds(3));
        Assert.True(Amsel.IsStale);
        Assert.NotNull(Amsel.LastHeardUs);
    }

    [Fact]
    public void A_landing_is_shown_until_its_jump_is_there()
    {
        _floor.Landed("amsel", new(NowUs, 0.41, "left"));
        Assert.NotNull(Amsel.Landing);
        _floor.Jumped("amsel", "j1", Sheet(NowUs + 3000)); // the complete record times the contact more finely
        Assert.Null(Amsel.Landing);
        Assert.Equal("j1", Amsel.Jump!.Id);
    }

    [Fact]
    public void The_next_landing_outlives_the_record_of_the_one_before()
    {
        _floor.Landed("amsel", new(NowUs + 900_000, 0.41, "left"));
        _floor.Jumped("amsel", "j1", Sheet(NowUs));
        Assert.NotNull(Amsel.Landing);
    }

    [Fact]
    public void Jumps_leave_the_hour_line_after_an_hour_and_late_ones_change_nothing()
    {
        _floor.Jumped("amsel", "j1", Sheet(NowUs));
        _time.Advance(TimeSpan.FromMinutes(61));
        _floor.Jumped("amsel", "j2", Sheet(NowUs));
        _floor.Jumped("amsel", "j1", Sheet(NowUs - 3_660_000_000));
        Assert.Equal(["j2"], Amsel.Hour.Select(point => point.Id), StringComparer.Ordinal);
    }

    [Fact]
    public void A_hard_landing_marks_the_jump_and_its_point()
    {
        _floor.Jumped("amsel", "j1", Sheet(NowUs));
        _floor.Classified("amsel", "j1", LandingClass.Hard);
        Assert.Equal(LandingClass.Hard, Amsel.Jump!.Class);
        Assert.True(Amsel.Hour[0].IsHard);
    }

    [Fact]
    public void Somebody_who_is_not_on_the_roster_appears_nowhere()
    {
        _floor.Jumped("nobody", "j1", Sheet(NowUs));
        Assert.Equal(2, _floor.Frame.Places.Count);
    }
}

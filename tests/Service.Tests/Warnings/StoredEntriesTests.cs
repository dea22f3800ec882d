using Saltograph.Load;
using Saltograph.Service.Facts;
using Saltograph.Service.Warnings;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>What the store holds, read for load and warnings: a bad entry is a fault with its place, never an exception.</summary>
public sealed class StoredEntriesTests
{
    private static readonly HallDays Days = new(TimeZoneInfo.Utc);

    [Theory]
    [InlineData("amber", "null", "limits")]
    [InlineData("amber", "{\"jumps\":\"many\"}", "limits")]
    [InlineData("amber", "{\"leaps\":3}", "limits")]
    [InlineData("Not a pseudonym", "{\"jumps\":3}", "athlete")]
    public void A_plan_that_cannot_be_read_is_a_fault_that_names_its_place(string athlete, string limits, string where)
    {
        var fault = DayPlans.Read(new() { Athlete = athlete, Day = "2026-11-26", Kind = PlanRow.PlanKind, Limits = limits, EnteredBy = "coach" }, Days, out var read);
        Assert.Equal(where, fault?.Where);
        Assert.Null(read);
    }

    [Fact]
    public void A_plan_gives_the_limits_of_its_day()
    {
        var fault = DayPlans.Read(
            new() { Athlete = "amber", Day = "2026-11-26", Kind = PlanRow.PlanKind, Limits = "{\"jumps\":40}", EnteredBy = "coach" }, Days, out var read);
        Assert.Null(fault);
        Assert.Equal(40, read?.Jumps);
    }

    [Theory]
    [InlineData("", false, false, false)]
    [InlineData("\"saturated\"", false, false, false)]
    [InlineData("\"saturated\",\"saturated-trunk\"", true, false, false)]
    [InlineData("\"saturated\",\"saturated-ankle-left\"", false, true, false)]
    [InlineData("\"saturated\",\"saturated-ankle-right\"", false, false, true)]
    public void A_clipped_landing_counts_where_it_was_felt(string quality, bool trunkClips, bool leftClips, bool rightClips)
    {
        var jump = CountedJumps.Of(new()
        {
            Id = "1",
            Athlete = "amber",
            Day = "2026-11-26",
            Grade = "A",
            Record = "{\"quality\":[" + quality + "]}",
            ShockTrunkG = 3,
            ShockAnkleLeftG = 9,
            ShockAnkleRightG = 9,
            Saturated = quality.Length > 0,
        });
        Assert.Equal(
            (trunkClips, leftClips, rightClips),
            (jump.TrunkShock!.Value.Saturated, jump.AnkleLeftShock!.Value.Saturated, jump.AnkleRightShock!.Value.Saturated));
    }
}

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
    [InlineData(null, null, true, false, false)]
    [InlineData(9.0, null, false, true, false)]
    [InlineData(null, 9.0, false, false, true)]
    public void A_clipped_landing_counts_where_it_was_felt(double? left, double? right, bool trunkClips, bool leftClips, bool rightClips)
    {
        var jump = CountedJumps.Of(new()
        {
            Id = "1",
            Athlete = "amber",
            Day = "2026-11-26",
            Grade = "C",
            Record = "{}",
            ShockTrunkG = 3,
            ShockAnkleLeftG = left,
            ShockAnkleRightG = right,
            Saturated = true,
        });
        Assert.Equal(
            (trunkClips, leftClips, rightClips),
            (jump.TrunkShock!.Value.Saturated, jump.AnkleLeftShock?.Saturated ?? false, jump.AnkleRightShock?.Saturated ?? false));
    }
}

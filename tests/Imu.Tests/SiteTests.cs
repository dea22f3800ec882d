namespace Saltograph.Imu.Tests;

/// <summary>The site names that files, topics and configuration use.</summary>
public sealed class SiteTests
{
    [Theory]
    [InlineData(Site.Trunk, "trunk")]
    [InlineData(Site.AnkleLeft, "ankle-left")]
    [InlineData(Site.AnkleRight, "ankle-right")]
    public void A_site_has_its_name_both_ways(Site site, string name)
    {
        Assert.Equal(name, site.Name());
        Assert.True(Sites.TryParse(name, out var parsed));
        Assert.Equal(site, parsed);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("Trunk")]
    [InlineData("ankle")]
    [InlineData("ankleLeft")]
    public void An_unknown_name_is_no_site(string? name) => Assert.False(Sites.TryParse(name, out _));

    [Fact]
    public void The_count_is_that_of_the_sites() => Assert.Equal(Sites.Count, Enum.GetValues<Site>().Length);
}

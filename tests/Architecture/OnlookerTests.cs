using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>What answers somebody reads through the view of whoever asks, and never the store itself.</summary>
public sealed class OnlookerTests
{
    [Fact]
    public void Pages_do_not_take_the_store()
    {
        var pages = Directory.GetFiles(Path.Combine(Repository.Root, "src", "Board"), "*.razor", SearchOption.AllDirectories);
        Assert.NotEmpty(pages);
        Violations.None(pages.Where(page => File.ReadAllText(page).Contains("@inject HallStore", StringComparison.Ordinal)).Select(page => $"{page}: @inject HallStore; allowed: HallView"));
    }

    // Those that write take the store beside the view, and ask the view before they do.
    [Fact]
    public void Answers_and_reports_take_the_view_of_whoever_asks()
    {
        var files = new[] { "Api", "Reports" }.SelectMany(folder => Directory.GetFiles(Path.Combine(Repository.Root, "src", "Service", folder), "*.cs"));
        Violations.None(files
            .Where(file => File.ReadAllText(file) is var text && text.Contains("HallStore", StringComparison.Ordinal) && !text.Contains("SeesAsync(", StringComparison.Ordinal))
            .Select(file => $"{file}: takes HallStore and never asks SeesAsync; allowed: HallView"));
    }
}

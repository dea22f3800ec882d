using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Saltograph.Service.Tests;

/// <summary>What every page of ours keeps to.</summary>
internal static partial class Pages
{
    /// <summary>
    /// Nothing is fetched when the page is opened: no address that a browser would load, in attributes, style or script. Its body is well-formed, so
    /// that no element is left open.
    /// </summary>
    public static void NeedsNothingElse(string page)
    {
        Assert.StartsWith("<!DOCTYPE html>", page, StringComparison.Ordinal);
        Assert.DoesNotMatch(Fetched(), page);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        var body = page[page.IndexOf("<body>", StringComparison.Ordinal)..(page.IndexOf("</body>", StringComparison.Ordinal) + 7)];
        Assert.NotEmpty(XDocument.Parse(body).Root!.Elements());
    }

    [GeneratedRegex(@"(src|href|action|data|poster|srcset)\s*=\s*[""'](?!#)|url\(\s*[""']?(?!#|data:)|@import|<link|<iframe|<object|<embed", RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase, matchTimeoutMilliseconds: 5000)]
    private static partial Regex Fetched();
}

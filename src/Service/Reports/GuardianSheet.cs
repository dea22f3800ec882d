using Saltograph.Service.Configuration;
using Saltograph.Service.Results;

namespace Saltograph.Service.Reports;

/// <summary>The sheet for a guardian: what is recorded of an athlete, who sees it, how to stop it. It says what this service is set to do, and nothing more.</summary>
internal sealed class GuardianSheet(ReportSources sources, HallConfiguration configuration)
{
    /// <summary>The page.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<string> TextAsync(string athlete, CancellationToken stop)
    {
        var jumps = await sources.ReadAsync(new() { Athlete = athlete }, $"athlete={athlete}", stop);
        var keptDays = configuration.Service.Retention.JumpsDays;
        var worn = configuration.Roster.Sensors.Where(sensor => sensor.Athlete == athlete).ToList();
        var page = sources.Begin(sources.Words.Of("report.guardian.title", athlete));
        page.Text("report.guardian.intro");
        page.Heading("report.guardian.what").Raw("<ul class=\"plain\">")
            .Raw(Item(page, "report.guardian.sensors", string.Join(", ", worn.Select(sensor => page.Markup($"site.{sensor.Site}")).DefaultIfEmpty(page.Markup("report.guardian.nosensor")))))
            .Raw(Item(page, "report.guardian.measures"))
            .Raw(Item(page, "report.guardian.pseudonym", HtmlPage.Safe(athlete)))
            .Raw(Item(page, "report.guardian.notrecorded"))
            .Raw("</ul>");
        Stored(page, jumps);
        page.Heading("report.guardian.who").Raw("<ul class=\"plain\">")
            .Raw(Item(page, IsLoopback ? "report.guardian.here" : "report.guardian.network"))
            .Raw(Item(page, configuration.Service.People.Anonymous ? "report.guardian.everybody" : "report.guardian.assigned"))
            .Raw(configuration.Service.People.Anonymous ? "" : Item(page, "report.guardian.looked"))
            .Raw(Item(page, configuration.Service.Tell.MailHost.Length > 0 ? "report.guardian.mail" : "report.guardian.nomail"))
            .Raw(Item(page, configuration.Service.Tell.WebhookUrl.Length > 0 ? "report.guardian.webhook" : "report.guardian.nowebhook"))
            .Raw("</ul>");
        page.Heading("report.guardian.howlong")
            .Text(configuration.Service.Recordings.KeepDays > 0 ? "report.guardian.raw" : "report.guardian.rawforever", "", Setting(configuration.Service.Recordings.KeepDays))
            .Text(keptDays > 0 ? "report.guardian.records" : "report.guardian.recordsforever", "", Setting(keptDays));
        page.Heading("report.guardian.stop").Raw("<ol>")
            .Raw(Item(page, "report.guardian.stop.say"))
            .Raw(Item(page, "report.guardian.stop.sensors"))
            .Raw(Item(page, "report.guardian.stop.copy"))
            .Raw(Item(page, "report.guardian.stop.erase"))
            .Raw("</ol>")
            .Text("report.guardian.stop.noreason", "decide");
        page.Heading("report.guardian.means").Text("report.guardian.means.text").Text("report.guardian.decides", "decide");
        return page.Raw("<div class=\"three\">")
            .Raw($"<p class=\"sign\">{page.Markup("report.guardian.contact")}</p><p class=\"sign\">{page.Markup("report.guardian.date")}</p><p class=\"sign\">{page.Markup("report.guardian.sign")}</p></div>")
            .Finish();
    }

    private bool IsLoopback => System.Net.IPAddress.TryParse(configuration.Service.Http.Address, out var address) && System.Net.IPAddress.IsLoopback(address);

    // Of the configuration, which the HTTP interface does not tell.
    private static string Setting(double value) => System.FormattableString.Invariant($"<b class=\"setting\">{value}</b>");

    private static string Item(ReportPage page, string key, params string[] safe) => $"<li>{page.Markup(key, safe)}</li>";

    private void Stored(ReportPage page, JumpGroup jumps)
    {
        if (jumps.Jumps.Count == 0)
        {
            page.Text("report.guardian.nothing", "soft");
            return;
        }

        var (first, last) = (jumps.Jumps[0], jumps.Jumps[^1]);
        page.Text(
            "report.guardian.stored",
            "",
            jumps.Count(),
            Cited.Time(first.Row.LandingUs, "/landing", sources.Time.DayClock(first.Row.LandingUs), Cited.From(first.Address)),
            Cited.Time(last.Row.LandingUs, "/landing", sources.Time.DayClock(last.Row.LandingUs), Cited.From(last.Address)));
    }
}

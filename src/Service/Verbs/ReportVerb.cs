using System.CommandLine;
using Saltograph.Board.Text;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Hosting;
using Saltograph.Service.Reports;
using Saltograph.Service.Results;
using Saltograph.Store;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>report</c>: a report from the store as one page.</summary>
internal static class ReportVerb
{
    private const string Session = "session", Month = "athlete-month", Week = "squad-week", Guardian = "guardian", Comparison = "comparison";

    private static readonly string[] Kinds = [Session, Month, Week, Guardian, Comparison];

    private sealed record Wanted(string Kind, string? Athlete, string? Training, string? Day, string? A, string? B);

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var kind = new Argument<string>("KIND") { Description = $"Which: {string.Join(", ", Kinds)}.", HelpName = "KIND" };
        var config = new Option<string>("--config") { Description = "Folder of the configuration whose store is read. The service must not run; while it does, its pages have buttons for reports.", Required = true, HelpName = "DIR" };
        var output = new Option<string>("--output") { Description = "File for the report, one page that needs nothing else; written anew.", Required = true, HelpName = "report.html" };
        var athlete = new Option<string>("--athlete") { Description = "Pseudonym: needed for athlete-month and guardian; narrows session.", HelpName = "ID" };
        var training = new Option<string>("--session") { Description = "Id of a training, for session; default the latest of the last 28 days.", HelpName = "ID" };
        var day = new Option<string>("--day") { Description = "Last day of the hall, for athlete-month and squad-week; default today.", HelpName = "yyyy-MM-dd" };
        var a = new Option<string>("--a") { Description = "First side of a comparison: pairs with commas between, of jump, athlete, form, session, from and to (days), such as athlete=amber,from=2027-01-01,to=2027-01-31.", HelpName = "PAIRS" };
        var b = new Option<string>("--b") { Description = "Second side of a comparison; differences are B minus A.", HelpName = "PAIRS" };
        kind.Validators.Add(result => Check(result, result.GetValueOrDefault<string>(), value => Kinds.Contains(value, StringComparer.Ordinal), "KIND", string.Join(", ", Kinds)));
        output.Validators.Add(result => Check(result, result.GetValueOrDefault<string>(), value => value.EndsWith(".html", StringComparison.OrdinalIgnoreCase), "--output", "a file name that ends in .html"));
        athlete.Validators.Add(result => Check(result, result.GetValueOrDefault<string>(), Saltograph.Imu.IdText.IsValid, "--athlete", Saltograph.Imu.IdText.Allowed));
        day.Validators.Add(result => Check(result, result.GetValueOrDefault<string>(), QueryReader.IsDay, "--day", QueryReader.AllowedDay));
        foreach (var side in new[] { a, b })
        {
            side.Validators.Add(result => Check(result, result.GetValueOrDefault<string>(), SideText.IsValid, side.Name, SideText.Allowed));
        }

        var verb = new Command("report", "Makes a report from what is stored: a training, four weeks of an athlete, a week of the squad, a comparison, the sheet for a guardian.") { kind, config, output, athlete, training, day, a, b };
        verb.Validators.Add(result =>
        {
            if (result.GetValue(kind) is Month or Guardian && result.GetValue(athlete) is null)
            {
                result.AddError("--athlete: found nothing; allowed: a pseudonym.");
            }

            if (result.GetValue(kind) == Comparison && (result.GetValue(a) is null || result.GetValue(b) is null))
            {
                result.AddError($"--a and --b: found one or none; allowed: both, {SideText.Allowed}.");
            }
        });
        verb.SetAction(async (arguments, stop) => await RunAsync(
            terminal,
            new(arguments.GetRequiredValue(kind), arguments.GetValue(athlete), arguments.GetValue(training), arguments.GetValue(day), arguments.GetValue(a), arguments.GetValue(b)),
            arguments.GetRequiredValue(config),
            arguments.GetRequiredValue(output),
            stop));
        return verb;
    }

    private static void Check(System.CommandLine.Parsing.SymbolResult result, string? value, Func<string, bool> isAllowed, string where, string allowed)
    {
        if (value is not null && !isAllowed(value))
        {
            result.AddError($"{where}: found '{value}'; allowed: {allowed}.");
        }
    }

    private static async Task<int> RunAsync(Terminal terminal, Wanted wanted, string config, string output, CancellationToken stop)
    {
        var faults = ConfigurationFolder.Load(config, null, out var configuration);
        if (configuration is null)
        {
            await terminal.Error.WriteLineAsync(string.Join('\n', faults));
            return ExitCodes.WrongUsage;
        }

        try
        {
            WholeFile.Probe(output);
            configuration = configuration.From(config);
            var zone = TimeZoneInfo.FindSystemTimeZoneById(configuration.Service.TimeZone);
            await using var store = await HallStore.OpenAsync(
                configuration.Service.Store.ToOptions(Environment.GetEnvironmentVariable(ConfigurationFolder.StorePasswordVariable)), stop);
            var reports = new ReportAnswers(store.Whole, new(store.Whole, new HallDays(zone)), new(store.Whole, configuration), new JumpCourses(store.Whole), new HallTime(zone, TimeProvider.System), new Words(), configuration, new StoreReader());
            if (await TextAsync(reports, wanted, stop) is not { } page)
            {
                await terminal.Error.WriteLineAsync($"Found nothing to report: {(wanted.Kind == Comparison ? "a side without a jump" : wanted.Athlete is null ? "no such training" : $"no training or athlete '{wanted.Athlete}'")}; allowed: what the store of {config} holds.");
                return ExitCodes.WrongUsage;
            }

            WholeFile.Write(output, page);
            await terminal.Out.WriteLineAsync($"Report written to {output}.");
            await terminal.Out.WriteLineAsync(Cautions.Line);
            return ExitCodes.Done;
        }
        catch (Exception problem) when (HallHost.IsReasonNotToStart(problem))
        {
            await terminal.Error.WriteLineAsync($"Cannot report: {problem.Message}");
            return ExitCodes.Failed;
        }
    }

    private static async Task<string?> TextAsync(ReportAnswers reports, Wanted wanted, CancellationToken stop)
    {
        if (wanted.Athlete is { } athlete && !await reports.KnowsAsync(athlete, stop))
        {
            return null;
        }

        var last = wanted.Day is { } day ? LoadDays.Day(day) : reports.Today;
        return wanted.Kind switch
        {
            Session => await reports.SessionAsync(wanted.Training, wanted.Athlete, stop),
            Month => await reports.MonthAsync(wanted.Athlete!, last, stop),
            Week => await reports.WeekAsync(last, stop),
            Comparison => await CompareAsync(reports, wanted, stop),
            _ => await reports.GuardianAsync(wanted.Athlete!, stop),
        };
    }

    private static async Task<string?> CompareAsync(ReportAnswers reports, Wanted wanted, CancellationToken stop)
    {
        var (a, b) = (SideText.Read(wanted.A!, reports.BeginsUs), SideText.Read(wanted.B!, reports.BeginsUs));
        var found = await reports.CompareAsync(a, b, stop);
        return ComparisonEndpoints.Empty(found) is null ? reports.Comparison(found, a, b) : null;
    }
}

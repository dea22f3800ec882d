using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.People;
using Saltograph.Service.Verbs;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Wire;

namespace Saltograph.Service.Api;

/// <summary>Answers questions for warnings and rules, and tries rules on stored trainings.</summary>
internal sealed class WarningAnswers(HallView store, Onlooker onlooker, WarningDesk desk, HallConfiguration configuration, HallDays days)
{
    private const int Page = 2000;

    /// <summary>Warnings that are not normal, oldest first.</summary>
    public async Task<WarningsBody> OpenAsync(string? athlete, string? channel, CancellationToken stop) =>
        new(Cautions.Line, [.. (await store.Warnings.ActiveAsync(athlete, stop)).Where(row => channel is null || row.Channel == channel).Select(WarningBody.Of)]);

    /// <summary>Warnings raised in a stretch of time, newest first.</summary>
    public async Task<WarningsBody> RaisedAsync(string? athlete, string? channel, SampleTime from, SampleTime before, int limit, CancellationToken stop) => new(
        Cautions.Line,
        [.. (await store.Warnings.RaisedAsync(athlete, from.Microseconds, before.Microseconds, limit, stop)).Where(row => channel is null || row.Channel == channel).Select(WarningBody.Of)]);

    /// <summary>A warning with its history; null when there is none.</summary>
    public async Task<WarningHistoryBody?> FindAsync(string id, CancellationToken stop) => await store.Warnings.FindAsync(id, stop) is { } row
        ? new(WarningBody.Of(row), [.. (await store.Warnings.HistoryAsync(id, stop)).Select(WarningChangeBody.Of)])
        : null;

    /// <summary>The rules and what is out of service.</summary>
    public async Task<RulesBody> RulesAsync(CancellationToken stop) => new(
        JsonSerializer.SerializeToElement(configuration.Warnings, WarningRulesFile.Json),
        [.. (await desk.OutOfServiceAsync(stop)).Where(silenced => onlooker.Sees(silenced.Athlete.Value)).Select(silenced => new SilencedRule(silenced.Rule, silenced.Athlete.Value))]);

    /// <summary>Tries rules on what is stored; the weeks before the stretch teach the classes.</summary>
    /// <param name="text">The rules as in <c>warnings.json</c>; null for those that are in force.</param>
    /// <param name="from">Begin.</param>
    /// <param name="before">End.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<Answer<DryRunBody>> TryAsync(JsonElement? text, SampleTime from, SampleTime before, CancellationToken stop)
    {
        var rules = configuration.Warnings;
        if (text is { } entered)
        {
            var faults = WarningRulesFile.Read(entered, out var read);
            if (read is null)
            {
                return new(null, [.. faults.Select(fault => new ApiFault(fault.Where, fault.Found, fault.Allowed))]);
            }

            rules = read;
        }

        var (run, _) = await TryAsync(rules, from, before, stop);
        string[] leftOut = [.. run.Rules.Where(rule => rule.Channel == WarningChannel.Sensor).Select(rule => rule.Rule)];
        return new DryRunBody(
            Rfc3339.Text(from),
            Rfc3339.Text(before),
            Math.Round(run.WatchedS / 3600, 6),
            run.RaisedPerAthleteHour(WarningChannel.Landing) is { } each ? Math.Round(each, 6) : null,
            [.. run.Rules.Where(rule => rule.Channel != WarningChannel.Sensor).Select(rule => new DryRunLine(rule.Rule, WarningJson.Word(rule.Channel), rule.Raised, rule.Athletes))],
            leftOut,
            leftOut.Length > 0 ? DryRunBody.SensorsReason : null);
    }

    /// <summary>Tries rules without faults.</summary>
    /// <returns>What they would have done, and the jumps in the stretch.</returns>
    public async Task<(DryRun Run, int Jumps)> TryAsync(WarningRules rules, SampleTime from, SampleTime before, CancellationToken stop)
    {
        var jumps = new List<CountedJump>();
        string? place = null;
        do
        {
            var page = await store.Jumps.PageAsync(
                new() { FromUs = from.PlusSeconds(-LandingClasses.RecallDays * 86_400).Microseconds, BeforeUs = before.Microseconds, After = place, Limit = Page }, stop);
            jumps.AddRange(page.Jumps.Select(CountedJumps.Of));
            place = page.Next;
        }
        while (place is not null);

        var limits = new List<DayLimits>();
        foreach (var row in await store.Plans.OfDaysAsync(null, days.Of(from), days.Of(before.PlusSeconds(-1e-6)), stop))
        {
            if (DayPlans.Read(row, days, out var read) is null)
            {
                limits.Add(read!);
            }
        }

        return (await Task.Run(() => DryRun.Of(rules, jumps, limits, from: from), stop), jumps.Count(jump => jump.LandingTime >= from));
    }
}

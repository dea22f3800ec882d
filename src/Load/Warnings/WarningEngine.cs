using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>A warning or silenced rule as it stands.</summary>
/// <param name="State">Its state.</param>
/// <param name="IsActive">Whether the condition holds, also under a silence.</param>
/// <param name="LastChange">The last change: what, who, when.</param>
public sealed record OpenWarning(WarningState State, bool IsActive, WarningChange LastChange);

/// <summary>
/// Judges jumps and sensor reports by the rules and keeps the state of every warning. Time comes from the data and from <see cref="Advance"/>: the same calls
/// give the same changes with the same ids, live or from the store, in one step or in many. One thread at a time.
/// </summary>
/// <remarks>
/// Time never goes back: what comes late is judged at the time reached. A live caller should therefore advance to some seconds ago, so that jumps still on their way keep their place.
/// After a restart, feed stored jumps, limits and commands again, oldest first, and drop the changes that the store has.
/// </remarks>
public sealed class WarningEngine
{
    private readonly WarningRules _rules;
    private readonly LandingClassifier _classifier;
    private readonly Journal _journal;
    private readonly SortedDictionary<string, AthleteWatches> _athletes = new(StringComparer.Ordinal);

    /// <summary>Starts with no history. Throws <see cref="ArgumentException"/> with every fault of the rules.</summary>
    public WarningEngine(WarningRules rules)
    {
        ArgumentNullException.ThrowIfNull(rules);
        var list = new FaultList("");
        list.AddAll(rules.Faults());
        list.Throw();
        _rules = rules;
        _classifier = new(rules.Landings);
        _journal = new(rules);
    }

    /// <summary>The time reached.</summary>
    public SampleTime Now { get; private set; }

    /// <summary>Rules that are out of service, each with its athlete.</summary>
    public IReadOnlyList<(string Rule, AthleteId Athlete)> OutOfService =>
        [.. from athlete in _athletes from watch in athlete.Value.Watches where watch.IsOutOfService select (watch.Rule.Id, new AthleteId(athlete.Key))];

    /// <summary>All warnings that are not normal, by athlete, rule and subject. Shelved ones are among them: a silence is never hidden.</summary>
    public IReadOnlyList<OpenWarning> Open => [.. Points().Where(point => point.LastChange is not null).Select(point => new OpenWarning(point.State, point.IsActive, point.LastChange!))];

    /// <summary>Takes a jump. An event id that is among her last 2000 changes nothing.</summary>
    public CountResult Count(CountedJump jump)
    {
        ArgumentNullException.ThrowIfNull(jump);
        Reach(jump.LandingTime);
        var athlete = Of(jump.Athlete);
        if (!athlete.IsNew(jump.Id))
        {
            return new(null, _journal.Take());
        }

        var landing = _classifier.Classify(jump);
        athlete.Landed(landing, Now);
        return new(landing, _journal.Take());
    }

    /// <summary>Takes a jump of before, of which nobody is warned any more: it teaches classes and baselines, and counts in its session and day.</summary>
    public IReadOnlyList<WarningChange> Learn(CountedJump jump)
    {
        ArgumentNullException.ThrowIfNull(jump);
        Reach(jump.LandingTime);
        var athlete = Of(jump.Athlete);
        if (athlete.IsNew(jump.Id))
        {
            athlete.Learned(_classifier.Classify(jump), Now);
        }

        return _journal.Take();
    }

    /// <summary>Takes a figure of a sensor. A value that is not finite changes nothing.</summary>
    public IReadOnlyList<WarningChange> Report(SensorReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        Reach(report.Time);
        foreach (var watch in double.IsFinite(report.Value) ? Of(report.Athlete).Watches : [])
        {
            watch.Reported(report, Now);
        }

        return _journal.Take();
    }

    /// <summary>Sets the limits of a day, also again in the course of it; jumps counted before are counted against them.</summary>
    public CommandResult SetLimits(DayLimits limits, SampleTime at)
    {
        ArgumentNullException.ThrowIfNull(limits);
        Reach(at);
        var fault = limits.Faults().Count > 0 ? limits.Faults()[0] : null;
        if (fault is null && limits.To <= Now)
        {
            fault = new(nameof(limits.To), $"{limits.To.Microseconds} us", $"after now, {Now.Microseconds} us");
        }

        if (fault is null && limits.From > Now)
        {
            fault = new(nameof(limits.From), $"{limits.From.Microseconds} us", $"up to now, {Now.Microseconds} us: limits are set when their day has begun");
        }

        if (fault is null)
        {
            Of(limits.Athlete).Limited(limits, Now);
        }

        return new(fault, _journal.Take());
    }

    /// <summary>Ends her session before the gap does.</summary>
    public IReadOnlyList<WarningChange> EndSession(AthleteId athlete, SampleTime at)
    {
        Reach(at);
        Of(athlete).EndSession(Now);
        return _journal.Take();
    }

    /// <summary>Lets time pass: ends shelvings, delays, sessions and days, and announces again what is still active.</summary>
    public IReadOnlyList<WarningChange> Advance(SampleTime now)
    {
        Reach(now);
        return _journal.Take();
    }

    /// <summary>Acknowledges an active or returned warning. The condition goes on until it ends by itself.</summary>
    /// <param name="warningId">Id of an open warning.</param>
    /// <param name="who">Staff pseudonym, 1 to 32 characters a-z, 0-9 or the hyphen.</param>
    /// <param name="why">What was done, 1 to 500 characters.</param>
    /// <param name="at">When.</param>
    public CommandResult Acknowledge(string warningId, string who, string why, SampleTime at) => Command(at, who, why, () =>
        On(warningId, "ActiveUnacknowledged or ReturnedUnacknowledged", state => state is WarningState.ActiveUnacknowledged or WarningState.ReturnedUnacknowledged, point => point.Acknowledge(Now, who, why)));

    /// <summary>Silences a warning until an end time; then it is announced again if the condition still holds.</summary>
    /// <param name="warningId">Id of an open warning.</param>
    /// <param name="until">End, after now, at most <see cref="WarningRules.LongestShelvingS"/> later.</param>
    /// <param name="who">Staff pseudonym.</param>
    /// <param name="why">Reason, 1 to 500 characters.</param>
    /// <param name="at">When.</param>
    public CommandResult Shelve(string warningId, SampleTime until, string who, string why, SampleTime at) => Command(at, who, why, () =>
        until > Now && until - Now <= _rules.LongestShelvingS
            ? On(warningId, "a state other than OutOfService", state => state != WarningState.OutOfService, point => point.Shelve(until, Now, who, why))
            : new(nameof(until), $"{until.Microseconds} us", $"above {Now.Microseconds} us, up to {Now.PlusSeconds(_rules.LongestShelvingS).Microseconds} us"));

    /// <summary>Ends a shelving early.</summary>
    public CommandResult Unshelve(string warningId, string who, string why, SampleTime at) => Command(at, who, why, () =>
        On(warningId, "Shelved", state => state == WarningState.Shelved, point => point.EndSilence(Now, WarningCause.ShelfEnded, who, why)));

    /// <summary>Takes a rule out of service for one athlete, until put back.</summary>
    public CommandResult TakeOutOfService(string rule, AthleteId athlete, string who, string why, SampleTime at) => Command(at, who, why, () =>
        OnRule(rule, athlete, isOut: true, point => point.TakeOutOfService(Now, who, why)));

    /// <summary>Puts a rule back into service; a condition that holds is announced.</summary>
    public CommandResult PutBack(string rule, AthleteId athlete, string who, string why, SampleTime at) => Command(at, who, why, () =>
        OnRule(rule, athlete, isOut: false, point => point.EndSilence(Now, WarningCause.PutBack, who, why)));

    /// <summary>Forgets everything of an athlete: warnings, what is out of service, what is usual for her. Nothing is announced.</summary>
    public void Forget(AthleteId athlete)
    {
        _athletes.Remove(athlete.Value);
        _classifier.Forget(athlete);
    }

    private IEnumerable<AlarmPoint> Points() => _athletes.Values.SelectMany(athlete => athlete.Watches).SelectMany(watch => watch.Points);

    private CommandResult Command(SampleTime at, string who, string why, Func<Fault?> act)
    {
        Reach(at);
        var fault = !IdText.IsValid(who) ? new Fault(nameof(who), $"'{who}'", IdText.Allowed)
            : string.IsNullOrWhiteSpace(why) || why.Length > 500 ? new Fault(nameof(why), $"{why?.Length ?? 0} characters", "1 to 500 characters that are not all blank")
            : act();
        return new(fault, _journal.Take());
    }

    private Fault? On(string warningId, string allowed, Func<WarningState, bool> isAllowed, Action<AlarmPoint> act)
    {
        if (Points().FirstOrDefault(point => point.WarningId is not null && point.WarningId == warningId) is not { } point)
        {
            return new(nameof(warningId), $"'{warningId}'", "the id of an open warning");
        }

        if (!isAllowed(point.State))
        {
            return new(nameof(warningId), $"'{warningId}' in state {point.State}", allowed);
        }

        act(point);
        return null;
    }

    private Fault? OnRule(string rule, AthleteId athlete, bool isOut, Action<AlarmPoint> act)
    {
        if (Of(athlete).Watches.FirstOrDefault(watch => watch.Rule.Id == rule) is not { } watch)
        {
            return new(nameof(rule), $"'{rule}'", string.Join(", ", _rules.Rules.Select(known => known.Id)));
        }

        if (watch.IsOutOfService == isOut)
        {
            return new(nameof(rule), $"'{rule}' {(isOut ? "out of" : "in")} service", isOut ? "a rule in service" : "a rule out of service");
        }

        watch.IsOutOfService = isOut;
        foreach (var point in watch.Points.ToList())
        {
            act(point);
        }

        return null;
    }

    private AthleteWatches Of(AthleteId athlete)
    {
        if (!_athletes.TryGetValue(athlete.Value, out var watches))
        {
            _athletes[athlete.Value] = watches = new(athlete, _rules, _journal);
        }

        return watches;
    }

    // What is due happens at its own time and in its order, however far the step goes: one step and many give the same.
    private void Reach(SampleTime at)
    {
        while (true)
        {
            var next = _athletes.Values.Where(athlete => athlete.NextDue <= at).MinBy(athlete => athlete.NextDue!.Value);
            if (next?.NextDue is not { } due)
            {
                break;
            }

            Now = due > Now ? due : Now;
            next.Due(due);
        }

        Now = at > Now ? at : Now;
    }
}

using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>The state machine of one rule, athlete and subject.</summary>
internal sealed class AlarmPoint(WarningRule rule, AthleteId athlete, string subject, bool isOutOfService, Journal journal)
{
    private bool _input;
    private SampleTime? _delayEnds;
    private SampleTime? _reAlarmAt;
    private int _number;
    private WarningDetail _detail = new("", null, null, []);

    public WarningState State { get; private set; } = isOutOfService ? WarningState.OutOfService : WarningState.Normal;

    /// <summary>Whether the condition holds, as last told.</summary>
    public bool Holds => _input;

    /// <summary>Whether the condition holds, delays counted.</summary>
    public bool IsActive { get; private set; }

    public SampleTime? ShelvedUntil { get; private set; }

    /// <summary>The open warning; null when there is none.</summary>
    public string? WarningId { get; private set; }

    public SampleTime RaisedTime { get; private set; }

    public WarningChange? LastChange { get; private set; }

    public SampleTime? NextDue => Earlier(Earlier(_delayEnds, ShelvedUntil), _reAlarmAt);

    /// <summary>Tells whether the condition holds.</summary>
    public void Set(bool holds, SampleTime at, WarningDetail? detail = null)
    {
        _detail = holds && detail is not null ? detail : _detail;
        if (holds == _input)
        {
            return;
        }

        _input = holds;
        _delayEnds = null;
        if (holds == IsActive)
        {
            return;
        }

        var delayS = holds ? rule.OnDelayS : rule.OffDelayS;
        if (delayS > 0)
        {
            _delayEnds = at.PlusSeconds(delayS);
        }
        else
        {
            Activate(holds, at);
        }
    }

    /// <summary>What is due at an instant that <see cref="NextDue"/> told.</summary>
    public void Due(SampleTime at)
    {
        if (_delayEnds == at)
        {
            _delayEnds = null;
            Activate(_input, at);
        }
        else if (ShelvedUntil == at)
        {
            EndSilence(at, WarningCause.ShelfEnded, null, null);
        }
        else
        {
            Go(WarningState.ActiveUnacknowledged, WarningCause.ReAlarmed, at, null, null);
        }
    }

    public void Acknowledge(SampleTime at, string who, string why) => Go(
        State == WarningState.ActiveUnacknowledged ? WarningState.Acknowledged : WarningState.Normal, WarningCause.Acknowledged, at, who, why);

    public void Shelve(SampleTime until, SampleTime at, string who, string why)
    {
        ShelvedUntil = until;
        Go(WarningState.Shelved, WarningCause.Shelved, at, who, why);
    }

    public void TakeOutOfService(SampleTime at, string who, string why)
    {
        ShelvedUntil = null;
        Go(WarningState.OutOfService, WarningCause.TakenOutOfService, at, who, why);
    }

    /// <summary>Ends a shelving or a time out of service: back to what the condition says by now.</summary>
    public void EndSilence(SampleTime at, WarningCause cause, string? who, string? why)
    {
        ShelvedUntil = null;
        if (IsActive)
        {
            Open(at);
        }

        Go(IsActive ? WarningState.ActiveUnacknowledged : WarningState.Normal, cause, at, who, why);
    }

    private static SampleTime? Earlier(SampleTime? a, SampleTime? b) => a is { } x && b is { } y ? (x < y ? x : y) : a ?? b;

    private void Activate(bool active, SampleTime at)
    {
        IsActive = active;
        switch (State)
        {
            case WarningState.Normal or WarningState.ReturnedUnacknowledged when active:
                Open(at);
                Go(WarningState.ActiveUnacknowledged, WarningCause.Raised, at, null, null);
                break;
            case WarningState.ActiveUnacknowledged when !active:
                Go(WarningState.ReturnedUnacknowledged, WarningCause.Cleared, at, null, null);
                break;
            case WarningState.Acknowledged when !active:
                Go(WarningState.Normal, WarningCause.Cleared, at, null, null);
                break;
            default:
                // Shelved or out of service: the condition is followed in silence.
                break;
        }
    }

    private void Open(SampleTime at)
    {
        if (WarningId is null)
        {
            WarningId = string.Create(CultureInfo.InvariantCulture, $"{rule.Id}.{athlete.Value}.{subject}.{at.Microseconds}");
            RaisedTime = at;
            _number = 0;
        }
    }

    private void Go(WarningState to, WarningCause cause, SampleTime at, string? who, string? why)
    {
        var from = State;
        State = to;
        _reAlarmAt = to is WarningState.ActiveUnacknowledged or WarningState.Acknowledged && rule.ReAlarmAfterS is { } afterS ? at.PlusSeconds(afterS) : null;

        // Without an open warning there is nobody to tell: the point was silenced before it ever was active.
        if (WarningId is null)
        {
            return;
        }

        LastChange = journal.Write(new()
        {
            WarningId = WarningId,
            Number = ++_number,
            Rule = rule.Id,
            Athlete = athlete,
            Subject = subject,
            Channel = rule.Channel,
            Priority = rule.Priority,
            From = from,
            To = to,
            Cause = cause,
            Time = at,
            RaisedTime = RaisedTime,
            Who = who,
            Why = why,
            ShelvedUntil = ShelvedUntil,
            Announce = to == WarningState.ActiveUnacknowledged,
            Detail = _detail,
        });
        if (to == WarningState.Normal)
        {
            WarningId = null;
            LastChange = null;
        }
    }
}

/// <summary>Changes as they come, and the grouping of floods.</summary>
internal sealed class Journal(WarningRules rules)
{
    private readonly Queue<SampleTime>[] _announced = [.. Enum.GetValues<WarningChannel>().Select(_ => new Queue<SampleTime>())];
    private readonly string?[] _groups = new string?[Enum.GetValues<WarningChannel>().Length];
    private List<WarningChange> _changes = [];

    public WarningChange Write(WarningChange change)
    {
        var written = change.Announce ? change with { FloodGroup = Group((int)change.Channel, change) } : change;
        _changes.Add(written);
        return written;
    }

    public List<WarningChange> Take()
    {
        var taken = _changes;
        _changes = [];
        return taken;
    }

    private string? Group(int channel, WarningChange change)
    {
        var announced = _announced[channel];
        announced.Enqueue(change.Time);
        while (change.Time - announced.Peek() > rules.FloodWindowS)
        {
            announced.Dequeue();
        }

        return _groups[channel] = announced.Count <= rules.FloodAnnouncements
            ? null
            : _groups[channel] ?? string.Create(CultureInfo.InvariantCulture, $"flood.{change.Channel.ToString().ToLowerInvariant()}.{change.Time.Microseconds}");
    }
}

using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>One rule watching one athlete. It judges conditions; the points keep the states.</summary>
internal abstract class Watch(WarningRule rule, AthleteId athlete, Journal journal)
{
    private readonly SortedDictionary<string, AlarmPoint> _points = new(StringComparer.Ordinal);

    public WarningRule Rule => rule;

    public bool IsOutOfService { get; set; }

    public IEnumerable<AlarmPoint> Points => _points.Values;

    /// <summary>When the condition itself changes with time alone.</summary>
    public virtual SampleTime? NextDue => null;

    public virtual void Due(SampleTime at)
    {
    }

    /// <summary>A landing was counted; the session's jumps include it.</summary>
    public virtual void Landed(LandingVerdict landing, IReadOnlyList<CountedJump> session, SampleTime at)
    {
    }

    /// <summary>A landing of before was counted: it may teach, and raises or clears nothing.</summary>
    public virtual void Learned(LandingVerdict landing)
    {
    }

    public virtual void SessionEnded(IReadOnlyList<CountedJump> session, SampleTime at)
    {
    }

    public virtual void Reported(SensorReport report, SampleTime at)
    {
    }

    public virtual void Limited(DayLimits limits, IReadOnlyList<CountedJump> counted, SampleTime at)
    {
    }

    protected AlarmPoint Point(string subject)
    {
        if (!_points.TryGetValue(subject, out var point))
        {
            _points[subject] = point = new(rule, athlete, subject, IsOutOfService, journal);
        }

        return point;
    }

    protected static string Words(Leg? leg) => leg switch
    {
        Leg.Left => "left",
        Leg.Right => "right",
        Leg.Both => "both",
        _ => "unknown",
    };

    protected static string Tenths(double value) => FaultList.Text(Math.Round(value, 1));

    protected static string Text(double value) => FaultList.Text(Math.Round(value, 3));
}

using System.Globalization;
using System.Text;
using Saltograph.Imu;

namespace Saltograph.Board.Records;

/// <summary>A line of a panel.</summary>
/// <param name="Key">Key of its name, <c>course.KEY</c>, and of its looks.</param>
/// <param name="Path">SVG path.</param>
/// <param name="NameY">Where its name stands.</param>
public sealed record CourseLine(string Key, string Path, double NameY);

/// <summary>Lines of one quantity over the time of a jump.</summary>
/// <param name="Key">Key of its name, <c>course.KEY</c>.</param>
/// <param name="Unit">Unit as shown.</param>
/// <param name="Top">Upper edge.</param>
/// <param name="Height">Height.</param>
/// <param name="Ticks">Values with their place.</param>
/// <param name="Lines">The lines.</param>
public sealed record CoursePanel(string Key, string Unit, double Top, double Height, IReadOnlyList<(double Value, double Y)> Ticks, IReadOnlyList<CourseLine> Lines);

/// <summary>Where everything stands when the course of a jump is drawn: panels below each other, one axis of time.</summary>
public sealed class CoursePlot
{
    /// <summary>Width of the drawing.</summary>
    public const double Width = 1000;

    private const double Left = 70;
    private const double Right = 870;
    private const double FirstTop = 118;
    private const double Gap = 40;
    private const double NameStep = 19;

    private static readonly double[] RoundSteps = [1, 2, 3, 5, 10];

    private readonly JumpCourse _course;
    private readonly List<CoursePanel> _panels = [];
    private double _bottom = FirstTop - Gap;

    /// <summary>Lays it out.</summary>
    public CoursePlot(JumpCourse course)
    {
        ArgumentNullException.ThrowIfNull(course);
        _course = course;
        var flight = course.TimeS.Skip(course.Takeoff).Take(course.Landing - course.Takeoff + 1).ToArray();
        Add("acceleration", "g", 130, 0.5, [("trunk", course.TimeS, [.. course.AccelerationUpMps2.Select(value => value / Gravity.StandardMps2)])]);
        Add("turn", "°/s", 130, 50, [("turn.legs", flight, course.ConstantMomentumRateDps), ("turn.measured", course.TimeS, course.TurnRateDps)]);
        Add("shanks", "°", 150, 30, [("left", course.TimeS, course.InclinationLeftDeg), ("right", course.TimeS, course.InclinationRightDeg), ("split", course.TimeS, course.SplitAngleDeg)]);
        Add("force", "g", 130, 1, [("left", course.TimeS, course.ForceAnkleLeftG), ("right", course.TimeS, course.ForceAnkleRightG), ("trunk", course.TimeS, course.ForceTrunkG)]);
    }

    /// <summary>The panels that have something to show.</summary>
    public IReadOnlyList<CoursePanel> Panels => _panels;

    /// <summary>Lower edge of the last panel.</summary>
    public double Bottom => _bottom;

    /// <summary>Left edge of all panels.</summary>
    public static double PanelLeft => Left;

    /// <summary>Right edge of all panels; names of lines follow.</summary>
    public static double PanelRight => Right;

    /// <summary>Place of a time about take-off, s.</summary>
    public double X(double timeS)
    {
        var (begin, end) = (_course.TimeS[0], _course.TimeS[^1]);
        return Left + ((Right - Left) * (Math.Clamp(timeS, begin, end) - begin) / Math.Max(1e-9, end - begin));
    }

    /// <summary>Times that the axis tells, every 100 or 200 ms, s.</summary>
    public IEnumerable<double> TimeTicks()
    {
        var length = _course.TimeS[^1] - _course.TimeS[0];
        var step = length > 1.3 ? 0.2 : 0.1;
        for (var tick = Math.Ceiling(_course.TimeS[0] / step); tick * step <= _course.TimeS[^1]; tick++)
        {
            yield return tick * step;
        }
    }

    private void Add(string key, string unit, double height, double round, (string Key, IReadOnlyList<double> TimeS, IReadOnlyList<double>? Values)[] lines)
    {
        var measured = lines.Where(line => line.Values is not null).ToArray();
        if (measured.Length == 0)
        {
            return;
        }

        var top = _bottom + Gap;
        var least = Math.Min(0, Math.Floor(measured.Min(line => line.Values!.Min()) / round) * round);
        var most = Math.Max(round, Math.Ceiling(measured.Max(line => line.Values!.Max()) / round) * round);
        double Y(double value) => top + (height * (most - value) / (most - least));

        // Names stand where their lines end, moved apart where they would cover each other.
        var names = measured.Select(line => (line.Key, Y: Y(line.Values![^1]))).OrderBy(name => name.Y).ToArray();
        var places = new Dictionary<string, double>(StringComparer.Ordinal);
        var next = top;
        for (var i = 0; i < names.Length; i++)
        {
            next = Math.Max(next, Math.Min(names[i].Y, top + height - (NameStep * (names.Length - 1 - i))));
            places[names[i].Key] = next;
            next += NameStep;
        }

        _panels.Add(new(key, unit, top, height, [.. Ticks(least, most).Select(value => (value, Y(value)))],
            [.. measured.Select(line => new CourseLine(line.Key, Path(line.TimeS, line.Values!, Y), places[line.Key]))]));
        _bottom = top + height;
    }

    // Three to six round values that hold zero.
    private static IEnumerable<double> Ticks(double least, double most)
    {
        var raw = (most - least) / 4;
        var power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        var step = RoundSteps.Select(factor => factor * power).First(candidate => candidate >= raw - 1e-9);
        for (var tick = Math.Ceiling((least / step) - 1e-9); tick * step <= most + 1e-9; tick++)
        {
            yield return Math.Round(tick * step, 6);
        }
    }

    private string Path(IReadOnlyList<double> timeS, IReadOnlyList<double> values, Func<double, double> y)
    {
        var path = new StringBuilder();
        for (var i = 0; i < values.Count; i++)
        {
            path.Append(CultureInfo.InvariantCulture, $"{(i == 0 ? 'M' : 'L')}{X(timeS[i]):0.#} {y(values[i]):0.#}");
        }

        return path.ToString();
    }
}

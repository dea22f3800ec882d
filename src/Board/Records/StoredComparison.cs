using Saltograph.Comparison;
using Saltograph.Imu;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Board.Records;

/// <summary>One side of a comparison.</summary>
/// <param name="Jumps">Its jumps, newest first.</param>
/// <param name="IsCut">Whether more matched, and only the newest count.</param>
public sealed record ComparedSide(IReadOnlyList<(JumpRow Row, JumpSheet Sheet)> Jumps, bool IsCut);

/// <summary>A quantity over the phases of the jump, on both sides.</summary>
/// <param name="Key">Key of the course: also of its name, <c>course.KEY</c>.</param>
/// <param name="Unit">Unit as shown.</param>
/// <param name="Comparison">Means, spreads, differences.</param>
public sealed record ComparedCourse(string Key, string Unit, CurveComparison Comparison);

/// <summary>Stored jumps compared: B against A.</summary>
/// <param name="A">The first side.</param>
/// <param name="B">The second side.</param>
/// <param name="Measures">Measure by measure.</param>
/// <param name="Remarks">What differs most, in words.</param>
/// <param name="PhaseStarts">Nodes at which preparation, push-off, flight and absorption begin, and the last node; empty without courses.</param>
/// <param name="Courses">Quantity by quantity over the phases; those that both sides have.</param>
public sealed record StoredComparison(
    ComparedSide A, ComparedSide B, JumpComparison Measures, IReadOnlyList<Remark> Remarks, IReadOnlyList<int> PhaseStarts, IReadOnlyList<ComparedCourse> Courses)
{
    private const string Saturated = "saturated";

    private static readonly (string Measure, string Word)[] Rails =
    [
        ("landingShockG.trunk", "saturated-trunk"), ("landingShockG.ankleLeft", "saturated-ankle-left"), ("landingShockG.ankleRight", "saturated-ankle-right"),
    ];

    // Of a shock at the rail neither the quotient with another nor the time of its peak is known.
    private static readonly string[] UnknownAtTheRail = ["shockAttenuationPercent", "shockRiseTimeS"];

    private static readonly (string Key, string Unit, Func<JumpCourse, IReadOnlyList<double>?> Of)[] Quantities =
    [
        ("accelerationUpMps2", "m/s²", course => course.AccelerationUpMps2),
        ("turnRateDps", "°/s", AlongTheTurn),
        ("splitAngleDeg", "°", course => course.SplitAngleDeg),
        ("velocityUpMps", "m/s", course => course.VelocityUpMps),
        ("inclinationLeftDeg", "°", course => course.InclinationLeftDeg),
        ("inclinationRightDeg", "°", course => course.InclinationRightDeg),
    ];

    /// <summary>Reads both sides and compares. A jump that one side names is left out of the other side's group: held against itself it would seem less unlike than it is.</summary>
    public static async Task<StoredComparison> OfAsync(HallView store, IJumpCourses courses, JumpChoice a, JumpChoice b, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(store);
        ArgumentNullException.ThrowIfNull(courses);
        var (sideA, coursesA) = await ReadAsync(store, courses, a, b.Jump, stop);
        var (sideB, coursesB) = await ReadAsync(store, courses, b, a.Jump, stop);
        var measures = JumpComparison.Of(Compared(sideA, coursesA), Compared(sideB, coursesB));
        var found = new List<ComparedCourse>();
        foreach (var (key, unit, of) in Quantities)
        {
            if (CurveComparison.Of(Curves(sideA, coursesA, of), Curves(sideB, coursesB, of)) is { } comparison)
            {
                found.Add(new(key, unit, comparison));
            }
        }

        return new(sideA, sideB, measures, Remark.Of(measures), coursesA.Concat(coursesB).FirstOrDefault(course => course is not null)?.PhaseStarts ?? [], found);
    }

    /// <summary>The values of a jump that are compared.</summary>
    public static ComparedJump Compared(JumpRow row, JumpSheet sheet, JumpCourse? course)
    {
        ArgumentNullException.ThrowIfNull(row);
        ArgumentNullException.ThrowIfNull(sheet);
        var atRail = sheet.Quality.Where(word => word.StartsWith(Saturated, StringComparison.Ordinal)).ToHashSet(StringComparer.Ordinal);
        var anyAnkle = atRail.Contains(Rails[1].Word) || atRail.Contains(Rails[2].Word);
        var values = new Dictionary<string, MeasuredValue>(StringComparer.Ordinal);
        foreach (var measure in Comparison.Measures.All)
        {
            if (sheet.Number(measure.Key) is { } amount && !((anyAnkle || atRail.Contains(Rails[0].Word)) && UnknownAtTheRail.Contains(measure.Key, StringComparer.Ordinal)))
            {
                values.Add(measure.Key, new(amount, sheet.Uncertainty(measure.Key), Rails.Any(rail => rail.Measure == measure.Key && atRail.Contains(rail.Word))));
            }
        }

        if (course is not null && sheet.Number("flightTimeS") is { } flightTimeS)
        {
            foreach (var (key, value) in CourseTiming.Of(course.TimeS, course.SplitAngleDeg, flightTimeS, sheet.Uncertainty("takeoffS")))
            {
                values.Add(key, value);
            }
        }

        return new(new AthleteId(row.Athlete), (int)row.Number, values);
    }

    private static async Task<(ComparedSide Side, List<JumpCourse?> Courses)> ReadAsync(HallView store, IJumpCourses courses, JumpChoice choice, string? without, CancellationToken stop)
    {
        ComparedSide side;
        if (choice.Jump is { } id)
        {
            side = new(await store.Jumps.FindAsync(id, stop) is { } one ? [(one, new JumpSheet(one.Record!))] : [], false);
        }
        else
        {
            var page = choice.IsEmpty ? new([], null) : await store.Jumps.PageAsync(choice.Filter, stop);
            side = new([.. page.Jumps.Where(row => row.Id != without).Select(row => (row, new JumpSheet(row.Record!)))], page.Next is not null);
        }

        var found = new List<JumpCourse?>();
        foreach (var (row, _) in side.Jumps)
        {
            found.Add(await courses.FindAsync(row.Id, stop));
        }

        return (side, found);
    }

    private static List<ComparedJump> Compared(ComparedSide side, List<JumpCourse?> courses) => [.. side.Jumps.Zip(courses, (jump, course) => Compared(jump.Row, jump.Sheet, course))];

    private static List<ComparedCurve> Curves(ComparedSide side, List<JumpCourse?> courses, Func<JumpCourse, IReadOnlyList<double>?> of) =>
        [.. side.Jumps.Zip(courses, (jump, course) => (jump.Row.Athlete, Values: course is null ? null : of(course))).Where(each => each.Values is not null).Select(each => new ComparedCurve(new AthleteId(each.Athlete), each.Values!))];

    // Turns to the left and to the right are laid over each other.
    private static IReadOnlyList<double> AlongTheTurn(JumpCourse course) =>
        course.TurnRateDps.Skip(course.Takeoff).Take(course.Landing - course.Takeoff).Sum() < 0 ? [.. course.TurnRateDps.Select(rate => -rate)] : course.TurnRateDps;
}

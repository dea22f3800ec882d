using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// A recording on an even time grid: rows that are missing or lost are bridged by straight lines between their neighbours.
/// </summary>
internal sealed class EvenSamples
{
    // Over a quarter of a second a straight line no longer follows a movement: better no turn than a made-up one.
    private const double LongestTurnS = 0.25;

    // After a minute nothing is known anyway; a longer gap is not stretched further.
    private const double LongestGapS = 60;

    private readonly double _sampleRateHz;

    private EvenSamples(double sampleRateHz, int rows)
    {
        _sampleRateHz = sampleRateHz;
        SampleOfRow = new int[rows];
    }

    public List<Vector3D> Rates { get; } = [];

    public List<Vector3D> Forces { get; } = [];

    public List<Vector3D> Fields { get; } = [];

    public List<SampleMarks> Marks { get; } = [];

    /// <summary>For each row of the input, the sample that holds its orientation.</summary>
    public int[] SampleOfRow { get; }

    public static EvenSamples Of(in OrientationRows rows, double sampleRateHz)
    {
        var even = new EvenSamples(sampleRateHz, rows.Length);
        var last = -1;
        for (var row = 0; row < rows.Length; row++)
        {
            if (rows.IsLost(row))
            {
                continue;
            }

            even.Bridge(rows, last, row);
            even.SampleOfRow[row] = even.Rates.Count;
            even.Add(rows.AngularRatesRadps[row], rows.SpecificForcesMps2[row], rows.Field(row), rows.Mark(row));
            even.PlaceLostRows(rows, last, row);
            last = row;
        }

        // Lost rows at the end keep the last orientation.
        for (var row = last + 1; row < rows.Length; row++)
        {
            even.SampleOfRow[row] = Math.Max(0, even.Rates.Count - 1);
        }

        return even;
    }

    private void Add(Vector3D rate, Vector3D force, Vector3D field, SampleMarks mark)
    {
        Rates.Add(rate);
        Forces.Add(force);
        Fields.Add(field);
        Marks.Add(mark);
    }

    private void Bridge(in OrientationRows rows, int from, int to)
    {
        if (from < 0)
        {
            return;
        }

        var gapS = Math.Min(LongestGapS, rows.TimesS[to] - rows.TimesS[from]);
        var steps = (int)Math.Round(gapS * _sampleRateHz);
        var turns = gapS <= LongestTurnS;
        for (var k = 1; k < steps; k++)
        {
            var share = (double)k / steps;
            Add(
                turns ? Between(rows.AngularRatesRadps[from], rows.AngularRatesRadps[to], share) : Vector3D.Zero,
                Between(rows.SpecificForcesMps2[from], rows.SpecificForcesMps2[to], share),
                Vector3D.Zero,
                SampleMarks.Bridged);
        }
    }

    private void PlaceLostRows(in OrientationRows rows, int from, int to)
    {
        for (var row = from + 1; row < to; row++)
        {
            var first = from < 0 ? 0 : SampleOfRow[from];
            var sinceS = from < 0 ? 0 : rows.TimesS[row] - rows.TimesS[from];
            SampleOfRow[row] = Math.Clamp(first + (int)Math.Round(sinceS * _sampleRateHz), first, SampleOfRow[to]);
        }
    }

    private static Vector3D Between(in Vector3D a, in Vector3D b, double share) => a + (share * (b - a));
}

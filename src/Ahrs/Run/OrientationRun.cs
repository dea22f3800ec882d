using System.Runtime.InteropServices;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>A recording by its rows, as files give it: uneven, with gaps.</summary>
public readonly ref struct OrientationRows
{
    /// <summary>Times of the rows, s, increasing.</summary>
    public required ReadOnlySpan<double> TimesS { get; init; }

    /// <summary>Gyroscope, rad/s, one per row; any value where lost.</summary>
    public required ReadOnlySpan<Vector3D> AngularRatesRadps { get; init; }

    /// <summary>Accelerometer, m/s2, one per row; any value where lost.</summary>
    public required ReadOnlySpan<Vector3D> SpecificForcesMps2 { get; init; }

    /// <summary>Magnetometer, one per row, null where it has no reading; empty to leave it out.</summary>
    public ReadOnlySpan<Vector3D?> MagneticFields { get; init; }

    /// <summary>Whether a row holds no sample; empty when all do.</summary>
    public ReadOnlySpan<bool> Lost { get; init; }

    /// <summary>What is known against each sample; empty for nothing.</summary>
    public ReadOnlySpan<SampleMarks> Marks { get; init; }

    internal int Length => TimesS.Length;

    /// <summary>Lost, or a reading that cannot be: bridged like a lost one.</summary>
    internal bool IsLost(int row) =>
        (!Lost.IsEmpty && Lost[row]) || !SampleGate.Check(AngularRatesRadps[row], SpecificForcesMps2[row]).IsAccepted;

    internal Vector3D Field(int row) =>
        !MagneticFields.IsEmpty && MagneticFields[row] is { } field && SampleGate.Check(default, default, field).IsAccepted ? field : Vector3D.Zero;

    internal SampleMarks Mark(int row) => Marks.IsEmpty ? SampleMarks.None : Marks[row];
}

/// <summary>
/// Runs a filter by name over a whole recording and gives one orientation per row. Gaps are bridged: the orientation is
/// carried on over them, so that a filter never sees a jump in time.
/// </summary>
public static class OrientationRun
{
    /// <summary>Runs over all rows.</summary>
    /// <param name="options">Which filter, and how.</param>
    /// <param name="rows">The recording; at least one row that is not lost.</param>
    /// <param name="sampleRateHz">Samples per second where none is missing, 1 to 100000.</param>
    /// <exception cref="ArgumentException">Lengths differ, all rows are lost, or the method has no offline form.</exception>
    public static OrientationSeries Run(OrientationRunOptions options, in OrientationRows rows, double sampleRateHz)
    {
        ArgumentNullException.ThrowIfNull(options);
        Allowed.Rate(sampleRateHz);
        options.Validate();
        Check(rows);
        var even = EvenSamples.Of(rows, sampleRateHz);
        if (even.Rates.Count == 0)
        {
            throw new ArgumentException($"All {rows.Length} rows are lost; needed: at least one sample.", nameof(rows));
        }

        var magnetic = !rows.MagneticFields.IsEmpty;
        var series = options.Offline ? RunOffline(options, even, sampleRateHz, magnetic) : RunOnline(options, even, sampleRateHz, magnetic);
        return PerRow(series, even.SampleOfRow);
    }

    private static OrientationSeries RunOffline(OrientationRunOptions options, EvenSamples even, double sampleRateHz, bool magnetic)
    {
        var rates = CollectionsMarshal.AsSpan(even.Rates);
        var forces = CollectionsMarshal.AsSpan(even.Forces);
        var fields = magnetic ? CollectionsMarshal.AsSpan(even.Fields) : default;
        return options.Method == OrientationMethod.Athlete
            ? AthleteSmoother.Run(options.Athlete, sampleRateHz, rates, forces, fields, CollectionsMarshal.AsSpan(even.Marks))
            : VqfOffline.Run(options.Vqf, sampleRateHz, rates, forces, fields);
    }

    private static OrientationSeries RunOnline(OrientationRunOptions options, EvenSamples even, double sampleRateHz, bool magnetic)
    {
        var filter = options.Create(sampleRateHz);
        var series = new OrientationSeries(even.Rates.Count);
        var time = default(SampleTime);
        for (var i = 0; i < series.Length; i++)
        {
            var sample = new ImuSample(time, even.Forces[i], even.Rates[i], even.Marks[i]);
            time = SampleTime.FromSeconds((i + 1) / sampleRateHz);
            var result = magnetic && even.Fields[i] != Vector3D.Zero ? filter.Update(sample, even.Fields[i]) : filter.Update(sample);
            if (!result.IsAccepted)
            {
                throw new ArgumentException($"Sample {i}: {result.Reason}.", nameof(even));
            }

            series.EarthFromSensor[i] = filter.EarthFromSensor;
            series.GyroscopeBiasSensorRadps[i] = filter.GyroscopeBiasSensorRadps;
            series.GyroscopeBiasSigmaRadps[i] = filter.GyroscopeBiasSigmaRadps;
            series.IsAtRest[i] = filter.IsAtRest;
        }

        return series;
    }

    private static OrientationSeries PerRow(OrientationSeries even, ReadOnlySpan<int> sampleOfRow)
    {
        var series = new OrientationSeries(sampleOfRow.Length)
        {
            IsMagneticFieldDisturbed = even.IsMagneticFieldDisturbed is null ? null : new bool[sampleOfRow.Length],
        };
        for (var row = 0; row < sampleOfRow.Length; row++)
        {
            var i = sampleOfRow[row];
            series.EarthFromSensor[row] = even.EarthFromSensor[i];
            series.GyroscopeBiasSensorRadps[row] = even.GyroscopeBiasSensorRadps[i];
            series.GyroscopeBiasSigmaRadps[row] = even.GyroscopeBiasSigmaRadps[i];
            series.IsAtRest[row] = even.IsAtRest[i];
            if (series.IsMagneticFieldDisturbed is { } disturbed)
            {
                disturbed[row] = even.IsMagneticFieldDisturbed![i];
            }
        }

        return series;
    }

    private static void Check(in OrientationRows rows)
    {
        var n = rows.Length;
        if (rows.AngularRatesRadps.Length != n
            || rows.SpecificForcesMps2.Length != n
            || (!rows.MagneticFields.IsEmpty && rows.MagneticFields.Length != n)
            || (!rows.Lost.IsEmpty && rows.Lost.Length != n)
            || (!rows.Marks.IsEmpty && rows.Marks.Length != n))
        {
            throw new ArgumentException($"{n} times need {n} elements in every other list, or none where it may be left out.", nameof(rows));
        }
    }
}

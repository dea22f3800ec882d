using System.Runtime.InteropServices;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// The smoothed form of <see cref="AthleteFilter"/>, over a finished jump, bout or session: every sample knows what came
/// after it (H. Rauch, F. Tung, C. Striebel, AIAA Journal 3(8):1445-1450, 1965).
/// </summary>
/// <remarks>
/// First a causal run collects, stretch by stretch, how likely travelling is; then <see cref="RegimeSmoother"/> decides it
/// from both sides; then one forward run with the motion known and the smoother backward over its steps. The errors are
/// differences to the forward estimate, which its own corrections have kept small, so one round is made. Finally the gyroscope is integrated anew with the smoothed bias and
/// scale, and levelled with the smoothed tilt: the heading has no steps.
/// </remarks>
public static class AthleteSmoother
{
    private const int N = ErrorIndex.Count;

    /// <summary>Runs over a recording without gaps.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="angularRateSensorRadps">Gyroscope, rad/s, finite.</param>
    /// <param name="specificForceSensorMps2">Accelerometer, m/s2, finite, as many.</param>
    /// <param name="magneticFieldSensor">Magnetometer, finite, as many; or empty for none.</param>
    /// <param name="marks">What is known against each sample, as many; or empty for nothing.</param>
    /// <exception cref="ArgumentException">Lengths differ, or a number is not finite.</exception>
    public static OrientationSeries Run(
        AthleteOptions options,
        double sampleRateHz,
        ReadOnlySpan<Vector3D> angularRateSensorRadps,
        ReadOnlySpan<Vector3D> specificForceSensorMps2,
        ReadOnlySpan<Vector3D> magneticFieldSensor = default,
        ReadOnlySpan<SampleMarks> marks = default)
    {
        var coefficients = AthleteCoefficients.From(options, sampleRateHz);
        SeriesInput.Check(angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor);
        if (!marks.IsEmpty && marks.Length != angularRateSensorRadps.Length)
        {
            throw new ArgumentException($"{marks.Length} marks; allowed: {angularRateSensorRadps.Length}, one per sample, or none.", nameof(marks));
        }

        var input = new AthleteInput(angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor, marks);
        var magnetic = !magneticFieldSensor.IsEmpty;
        var series = new OrientationSeries(input.Length)
        {
            IsMagneticFieldDisturbed = magnetic ? new bool[input.Length] : null,
        };
        if (input.Length == 0)
        {
            return series;
        }

        var isTravelling = JudgeMotion(coefficients, input);
        var trace = new AthleteTrace(isTravelling);
        var forward = new Rotation[input.Length];
        var endOfStep = new List<int>();
        RunForward(coefficients, input, trace, forward, endOfStep, series.IsAtRest);
        RestBackward(coefficients, input, series.IsAtRest);
        var smoothed = SmoothSteps(trace);
        SampleSeries.Fill(coefficients, input, forward, endOfStep, CollectionsMarshal.AsSpan(trace.Steps), smoothed, series);
        if (magnetic)
        {
            MagneticSeries.Apply(coefficients, input, series);
        }

        return series;
    }

    private static bool[] JudgeMotion(AthleteCoefficients coefficients, in AthleteInput input)
    {
        var filter = new AthleteFilter(coefficients);
        var ratios = new List<double>();
        for (var i = 0; i < input.Length; i++)
        {
            filter.Take(input, i);
            if (filter.State.Stretches > ratios.Count)
            {
                ratios.Add(filter.State.LikelihoodRatio);
            }
        }

        return RegimeSmoother.Travelling(ratios, coefficients.RegimeChange);
    }

    private static void RunForward(
        AthleteCoefficients coefficients, in AthleteInput input, AthleteTrace trace, Rotation[] forward, List<int> endOfStep, bool[] isAtRest)
    {
        var filter = new AthleteFilter(coefficients, trace);
        for (var i = 0; i < input.Length; i++)
        {
            filter.Take(input, i);
            forward[i] = filter.State.LevelFromSensor;
            isAtRest[i] = filter.IsAtRest;
            if (trace.Steps.Count > endOfStep.Count)
            {
                endOfStep.Add(i);
                forward[i] = trace.Steps[^1].LevelFromSensor;
            }
        }
    }

    /// <summary>Rest begins before the filter can know it: a second look from the end.</summary>
    private static void RestBackward(AthleteCoefficients coefficients, in AthleteInput input, bool[] isAtRest)
    {
        var rest = default(RestState);
        for (var i = input.Length - 1; i >= 0; i--)
        {
            coefficients.Rest.StepAngularRate(ref rest, -input.Rates[i]);
            coefficients.Rest.StepSpecificForce(ref rest, input.Forces[i]);
            isAtRest[i] |= rest.AtRest;
        }
    }

    /// <summary>
    /// The smoother. Errors are relative to the forward estimate: e after the correction of a step, d = e + correction
    /// before it. e[k-1] = C d[k] with C = P F' Pp^-1, and P_s[k-1] = P + C (P_s[k] - Pp) C'.
    /// </summary>
    private static SmoothedStep[] SmoothSteps(AthleteTrace trace)
    {
        var steps = CollectionsMarshal.AsSpan(trace.Steps);
        var result = new SmoothedStep[steps.Length];
        var after = default(ErrorVector);
        ErrorMatrix covariance = steps.Length > 0 ? steps[^1].Covariance : default;
        Span<double> work = stackalloc double[N * (N + 1)];
        Span<double> gainT = stackalloc double[N * N];
        Span<double> change = stackalloc double[N * N];
        for (var k = steps.Length - 1; k >= 0; k--)
        {
            ref var step = ref steps[k];
            ref var r = ref result[k];
            r.After = after;
            Span<double> before = r.Before;
            for (var i = 0; i < N; i++)
            {
                before[i] = after[i] + step.Correction[i];
            }

            r.BiasRadps = step.BiasRadps + new Vector3D(before[2], before[3], before[4]);
            r.Scale = step.Scale + new Vector3D(before[5], before[6], before[7]);
            r.BiasSigmaRadps = Math.Sqrt(Math.Max(covariance[22], Math.Max(covariance[33], covariance[44])));
            r.Heading = HeadingTrust.Of(covariance, AthleteFilter.UpSensor(step.LevelFromSensor));
            if (k == 0)
            {
                break;
            }

            Span<double> filtered = steps[k - 1].Covariance;
            Span<double> predicted = step.Predicted;
            var solver = new SymmetricSolver(work, predicted);
            // Row i of gainT becomes column i of C': Pp^-1 F P[:, i].
            for (var i = 0; i < N; i++)
            {
                var row = gainT.Slice(i * N, N);
                filtered.Slice(i * N, N).CopyTo(row);
                ErrorState.Transition(row, 1, 0, step.Sums);
                solver.Solve(row);
            }

            for (var i = 0; i < N; i++)
            {
                double e = 0;
                for (var j = 0; j < N; j++)
                {
                    e += gainT[(i * N) + j] * before[j];
                    change[(i * N) + j] = covariance[(i * N) + j] - predicted[(i * N) + j];
                }

                after[i] = e;
            }

            covariance = Sandwich(filtered, gainT, change);
        }

        return result;
    }

    private static ErrorMatrix Sandwich(ReadOnlySpan<double> filtered, ReadOnlySpan<double> gain, ReadOnlySpan<double> change)
    {
        var result = default(ErrorMatrix);
        Span<double> half = stackalloc double[N * N];
        for (var i = 0; i < N; i++)
        {
            for (var j = 0; j < N; j++)
            {
                double v = 0;
                for (var k = 0; k < N; k++)
                {
                    v += gain[(i * N) + k] * change[(k * N) + j];
                }

                half[(i * N) + j] = v;
            }
        }

        for (var i = 0; i < N; i++)
        {
            for (var j = 0; j < N; j++)
            {
                double v = 0;
                for (var k = 0; k < N; k++)
                {
                    v += half[(i * N) + k] * gain[(j * N) + k];
                }

                result[(i * N) + j] = filtered[(i * N) + j] + v;
            }
        }

        return result;
    }
}

/// <summary>Errors of the forward estimate at the end of a step, as the smoother sees them.</summary>
internal struct SmoothedStep
{
    /// <summary>Before the correction of the step.</summary>
    public ErrorVector Before;

    /// <summary>After it.</summary>
    public ErrorVector After;

    public Vector3D BiasRadps;
    public Vector3D Scale;
    public double BiasSigmaRadps;
    public HeadingTrust Heading;
}

/// <summary>A recording as spans.</summary>
internal readonly ref struct AthleteInput(
    ReadOnlySpan<Vector3D> rates, ReadOnlySpan<Vector3D> forces, ReadOnlySpan<Vector3D> fields, ReadOnlySpan<SampleMarks> marks)
{
    public ReadOnlySpan<Vector3D> Rates { get; } = rates;

    public ReadOnlySpan<Vector3D> Forces { get; } = forces;

    public ReadOnlySpan<Vector3D> Fields { get; } = fields;

    public ReadOnlySpan<SampleMarks> Marks { get; } = marks;

    public int Length => Rates.Length;
}

using System.Diagnostics;
using System.Globalization;
using System.Runtime.Intrinsics;
using Saltograph.Ahrs;
using Saltograph.Imu;

namespace Saltograph.Benchmarks;

/// <summary>
/// Time per sample on one core: the median of 15 runs over 40 000 samples of generated motion with rests, as the figures it
/// stands beside were taken. A plain loop: at 100 ns the harness must not be part of the result.
/// </summary>
internal static class AhrsSpeed
{
    private const int Samples = 40_000;
    private const int Runs = 15;
    private const double RateHz = 286;

    private static readonly Vector3D[] Rates = new Vector3D[Samples];
    private static readonly Vector3D[] Forces = new Vector3D[Samples];
    private static readonly Vector3D[] Fields = new Vector3D[Samples];

    public static int Run()
    {
        Generate();
        Console.WriteLine($"512-bit vectors: {Vector512.IsHardwareAccelerated}; .NET {Environment.Version}; {Environment.ProcessorCount} processors");
        Console.WriteLine();
        Console.WriteLine("| filter | ns per sample | least | bytes per sample |");
        Console.WriteLine("|---|---|---|---|");
        Filter("VQF 6D, defaults", magnetic: false, () => new VqfFilter(new(), RateHz));
        Filter("VQF 9D, defaults", magnetic: true, () => new VqfFilter(new(), RateHz));
        Filter("VQF 6D, rest bias only", magnetic: false, () => new VqfFilter(new() { MotionBiasEstimation = false }, RateHz));
        Filter("VQF 6D, basic", magnetic: false, () => new VqfFilter(VqfOptions.Basic, RateHz));
        Filter("VQF 9D, basic", magnetic: true, () => new VqfFilter(VqfOptions.Basic, RateHz));
        Batch("VQF 6D batch, 8 sensors, per sensor", 8, 0, magnetic: false);
        Batch("VQF 6D batch, 64 sensors, per sensor", 64, 0, magnetic: false);
        Batch("VQF 6D batch, 8 sensors, 256 bits, per sensor", 8, 4, magnetic: false);
        Batch("VQF 9D batch, 8 sensors, per sensor", 8, 0, magnetic: true);
        Filter("athlete 6D", magnetic: false, () => new AthleteFilter(new(), RateHz));
        Filter("athlete 9D", magnetic: true, () => new AthleteFilter(new(), RateHz));
        Filter("Mahony 6D", magnetic: false, () => new MahonyFilter(new(), RateHz));
        Filter("Mahony 9D", magnetic: true, () => new MahonyFilter(new(), RateHz));
        Filter("Madgwick 6D", magnetic: false, () => new MadgwickFilter(new(), RateHz));
        Filter("Madgwick 9D", magnetic: true, () => new MadgwickFilter(new(), RateHz));
        Time("VQF 6D offline, all passes", Samples, () => VqfOffline.Run(new(), RateHz, Rates, Forces));
        Time("VQF 9D offline, all passes", Samples, () => VqfOffline.Run(new(), RateHz, Rates, Forces, Fields));
        Time("athlete 6D smoothed, all passes", Samples, () => AthleteSmoother.Run(new(), RateHz, Rates, Forces));
        return 0;
    }

    private static void Filter(string name, bool magnetic, Func<OrientationFilter> create) => Time(name, Samples, () =>
    {
        var filter = create();
        for (var i = 0; i < Samples; i++)
        {
            if (magnetic)
            {
                filter.Update(Rates[i], Forces[i], Fields[i]);
            }
            else
            {
                filter.Update(Rates[i], Forces[i]);
            }
        }
    });

    private static void Batch(string name, int sensors, int lanes, bool magnetic)
    {
        var coefficients = VqfCoefficients.From(new(), RateHz);
        var stride = new VqfBatch(coefficients, sensors, lanes).Stride;
        var steps = Samples / 8;
        var rates = Pack(Rates, steps, sensors, stride);
        var forces = Pack(Forces, steps, sensors, stride);
        var fields = Pack(Fields, steps, sensors, stride);
        Time(name, steps * sensors, () =>
        {
            var batch = new VqfBatch(coefficients, sensors, lanes);
            for (var i = 0; i < steps; i++)
            {
                var at = i * 3 * stride;
                if (magnetic)
                {
                    batch.Update(rates.AsSpan(at, 3 * stride), forces.AsSpan(at, 3 * stride), fields.AsSpan(at, 3 * stride));
                }
                else
                {
                    batch.Update(rates.AsSpan(at, 3 * stride), forces.AsSpan(at, 3 * stride));
                }
            }
        });
    }

    /// <summary>Every sensor gets the same motion, each shifted by some samples.</summary>
    private static double[] Pack(Vector3D[] values, int steps, int sensors, int stride)
    {
        var packed = new double[steps * 3 * stride];
        for (var i = 0; i < steps; i++)
        {
            for (var s = 0; s < sensors; s++)
            {
                var v = values[(i + (700 * s)) % values.Length];
                packed[(i * 3 * stride) + s] = v.X;
                packed[(((i * 3) + 1) * stride) + s] = v.Y;
                packed[(((i * 3) + 2) * stride) + s] = v.Z;
            }
        }

        return packed;
    }

    private static void Time(string name, int samples, Action run)
    {
        for (var i = 0; i < 5; i++)
        {
            run();
        }

        // Tiered compilation finishes in the background.
        Thread.Sleep(150);
        var times = new double[Runs];
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < Runs; i++)
        {
            var start = Stopwatch.GetTimestamp();
            run();
            times[i] = Stopwatch.GetElapsedTime(start).TotalNanoseconds / samples;
        }

        var bytes = (GC.GetAllocatedBytesForCurrentThread() - before) / Runs / samples;
        Array.Sort(times);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {name} | {times[Runs / 2]:F0} | {times[0]:F0} | {bytes} |"));
    }

    private static void Generate()
    {
        var q = Rotation.Identity;
        var random = new Random(1);
        double Noise() => random.NextDouble() - 0.5;
        for (var i = 0; i < Samples; i++)
        {
            var t = i / RateHz;
            var moves = t % 20 > 5 ? 1 : 0;
            var rate = moves * new Vector3D(2 * Math.Sin(1.3 * t), 3 * Math.Sin(0.7 * t), 1.5 * Math.Cos(2.1 * t));
            q = (q * Rotation.FromRotationVector(rate / RateHz)).Normalized();
            var force = new Vector3D(2 * moves * Math.Sin(7 * t), moves * Math.Cos(5 * t), 9.81 + (3 * moves * Math.Sin(9 * t)));
            Rates[i] = rate + (0.002 * new Vector3D(Noise(), Noise(), Noise()));
            Forces[i] = q.Inverse.Rotate(force) + (0.05 * new Vector3D(Noise(), Noise(), Noise()));
            Fields[i] = q.Inverse.Rotate(new(0, 20, -40)) + new Vector3D(Noise(), Noise(), Noise());
        }
    }
}

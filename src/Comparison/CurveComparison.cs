using Saltograph.Imu;

namespace Saltograph.Comparison;

/// <summary>One jump's course of a quantity, at the same nodes in every jump.</summary>
/// <param name="Athlete">Whose jump.</param>
/// <param name="Values">One per node, finite.</param>
public sealed record ComparedCurve(AthleteId Athlete, IReadOnlyList<double> Values);

/// <summary>Nodes in a row where two groups differ beyond the detectable change, in the same direction.</summary>
/// <param name="First">First node.</param>
/// <param name="Last">Last node, included.</param>
/// <param name="Largest">B minus A where it is largest in size.</param>
public readonly record struct CurveStretch(int First, int Last, double Largest);

/// <summary>Two groups of curves, node by node, in the unit of the curves.</summary>
/// <param name="CountA">Curves in the first group.</param>
/// <param name="CountB">Curves in the second group.</param>
/// <param name="MeanA">Mean of the first group.</param>
/// <param name="DeviationA">Its standard deviation (n - 1); null for one curve.</param>
/// <param name="MeanB">Mean of the second group.</param>
/// <param name="DeviationB">Its standard deviation.</param>
/// <param name="Difference">B minus A.</param>
/// <param name="DetectableChange">See <see cref="Comparison.DetectableChange"/>, at each node; null when no athlete has enough curves.</param>
/// <param name="Stretches">Where the difference is beyond it for <see cref="LeastNodes"/> nodes or more, in order.</param>
/// <remarks>
/// Each node is judged by itself at 95 per cent: of the nodes of curves that do not differ, one in twenty is beyond. Neighbours go together, so a minimum length drops single nodes and
/// does not make the whole curve a test at 95 per cent.
/// </remarks>
public sealed record CurveComparison(
    int CountA,
    int CountB,
    IReadOnlyList<double> MeanA,
    IReadOnlyList<double>? DeviationA,
    IReadOnlyList<double> MeanB,
    IReadOnlyList<double>? DeviationB,
    IReadOnlyList<double> Difference,
    IReadOnlyList<double>? DetectableChange,
    IReadOnlyList<CurveStretch> Stretches)
{
    /// <summary>Shortest stretch that is told, nodes.</summary>
    public const int LeastNodes = 4;

    // As for single measures: scatter from fewer than three curves of an athlete is hardly known.
    private const int LeastFreedom = 2;

    /// <summary>Compares B with A; null when one of them is empty.</summary>
    /// <exception cref="ArgumentException">The curves have different numbers of nodes.</exception>
    public static CurveComparison? Of(IReadOnlyCollection<ComparedCurve> a, IReadOnlyCollection<ComparedCurve> b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        if (a.Count == 0 || b.Count == 0)
        {
            return null;
        }

        var nodes = a.First().Values.Count;
        if (a.Concat(b).Any(curve => curve.Values.Count != nodes))
        {
            throw new ArgumentException($"Curves with different numbers of nodes; allowed: {nodes} in each, as in the first.", nameof(b));
        }

        var (meanA, deviationA) = Spread(a, nodes);
        var (meanB, deviationB) = Spread(b, nodes);
        double[] difference = [.. meanB.Zip(meanA, (ofB, ofA) => ofB - ofA)];
        var change = Change(a, b, nodes);
        return new(a.Count, b.Count, meanA, deviationA, meanB, deviationB, difference, change, change is null ? [] : Stretched(difference, change));
    }

    private static (double[] Mean, double[]? Deviation) Spread(IReadOnlyCollection<ComparedCurve> curves, int nodes)
    {
        var mean = new double[nodes];
        var deviation = curves.Count > 1 ? new double[nodes] : null;
        for (var node = 0; node < nodes; node++)
        {
            mean[node] = curves.Average(curve => curve.Values[node]);
            if (deviation is not null)
            {
                deviation[node] = Math.Sqrt(curves.Sum(curve => Math.Pow(curve.Values[node] - mean[node], 2)) / (curves.Count - 1));
            }
        }

        return (mean, deviation);
    }

    private static double[]? Change(IReadOnlyCollection<ComparedCurve> a, IReadOnlyCollection<ComparedCurve> b, int nodes)
    {
        var repeated = a.GroupBy(curve => curve.Athlete).Concat(b.GroupBy(curve => curve.Athlete)).Select(own => own.ToList()).ToList();
        return repeated.Sum(own => own.Count - 1) < LeastFreedom
            ? null
            :
            [
                .. Enumerable.Range(0, nodes).Select(node => Comparison.DetectableChange.Of(
                    Comparison.DetectableChange.WithinAthletes(repeated.Select(own => (IReadOnlyCollection<double>)[.. own.Select(curve => curve.Values[node])]))!.Value,
                    a.Count,
                    b.Count)),
            ];
    }

    private static List<CurveStretch> Stretched(double[] difference, double[] change)
    {
        var stretches = new List<CurveStretch>();
        var first = 0;
        for (var node = 1; node <= difference.Length; node++)
        {
            if (node < difference.Length && Side(node) == Side(first))
            {
                continue;
            }

            if (Side(first) != 0 && node - first >= LeastNodes)
            {
                stretches.Add(new(first, node - 1, difference[first..node].MaxBy(Math.Abs)));
            }

            first = node;
        }

        return stretches;

        int Side(int node) => Math.Abs(difference[node]) > change[node] ? Math.Sign(difference[node]) : 0;
    }
}

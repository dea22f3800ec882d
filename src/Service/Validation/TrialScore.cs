using Saltograph.Service.Results;

namespace Saltograph.Service.Validation;

/// <summary>Measured jumps beside true ones, over one or more recordings under one condition.</summary>
internal sealed class TrialScore
{
    // A jump that is too short to be recorded, or so near to it that either answer is right, is neither asked for nor wrong.
    private const double ShortestS = 0.20;
    private const double AskedFromS = 0.22;

    private readonly List<(JumpLine Truth, JumpLine Measured)> _pairs = [];

    /// <summary>True jumps that had to be found, or were.</summary>
    public int Asked { get; private set; }

    /// <summary>Those that were not.</summary>
    public int Missed { get; private set; }

    /// <summary>Measured jumps that were none.</summary>
    public int False { get; private set; }

    /// <summary>Pairs of the same jump.</summary>
    public IReadOnlyList<(JumpLine Truth, JumpLine Measured)> Pairs => _pairs;

    /// <summary>Share of the true jumps found; null when there were none.</summary>
    public double? Recall => Asked == 0 ? null : (Asked - Missed) / (double)Asked;

    /// <summary>Share of the jumps found that are true; null when there are none.</summary>
    public double? Precision => _pairs.Count + False == 0 ? null : _pairs.Count / (double)(_pairs.Count + False);

    /// <summary>Share of the pairs with the right form; a record without one is not right. Null when no truth, or no record, states a form.</summary>
    public double? FormRight => _pairs.Exists(pair => pair.Truth.Form is not null) && _pairs.Exists(pair => pair.Measured.Form is not null)
        ? _pairs.Count(pair => pair.Truth.Form == pair.Measured.Form) / (double)_pairs.Count
        : null;

    /// <summary>Adds one recording. Flights that overlap are the same jump: clocks are some milliseconds off at most.</summary>
    /// <param name="truths">What happened.</param>
    /// <param name="measured">What was found, on the same time base.</param>
    public void Add(IEnumerable<JumpLine> truths, IEnumerable<JumpLine> measured)
    {
        var left = measured.ToList();
        foreach (var truth in truths)
        {
            var found = left.Find(jump => jump.TakeoffS < truth.LandingS && jump.LandingS > truth.TakeoffS);
            var flightTimeS = truth.LandingS - truth.TakeoffS;
            if (found is not null)
            {
                left.Remove(found);
                if (flightTimeS >= ShortestS)
                {
                    Asked++;
                    _pairs.Add((truth, found));
                }
            }
            else if (flightTimeS >= AskedFromS)
            {
                Asked++;
                Missed++;
            }
        }

        False += left.Count;
    }

    /// <summary>The errors of a measure.</summary>
    public ErrorSummary Errors(ValidatedMeasure measure) =>
        new(measure, [.. _pairs.Select(pair => measure.Error(pair.Truth, pair.Measured)).OfType<MeasuredError>()]);
}

using Saltograph.Imu;

namespace Saltograph.Comparison;

/// <summary>A measured value of one jump.</summary>
/// <param name="Amount">The value, in the unit of its measure; finite.</param>
/// <param name="StandardUncertainty">Its standard uncertainty (k = 1), same unit, 0 or more; null when none is stated.</param>
/// <param name="IsAtLeast">Whether a sensor was at its rail, so that the true value is this or more.</param>
public readonly record struct MeasuredValue(double Amount, double? StandardUncertainty = null, bool IsAtLeast = false);

/// <summary>What comparing needs of one jump. A measure that is not among the values was not measured; nothing is filled in for it.</summary>
/// <param name="Athlete">Whose jump; jumps of one athlete tell her own scatter.</param>
/// <param name="Number">Running number in its session.</param>
/// <param name="Values">By <see cref="Measure.Key"/>.</param>
public sealed record ComparedJump(AthleteId Athlete, int Number, IReadOnlyDictionary<string, MeasuredValue> Values)
{
    /// <summary>A value as it is compared, by the sign rule of the measure; null when not measured, or when its sign has no direction to go by.</summary>
    public MeasuredValue? Find(Measure measure)
    {
        ArgumentNullException.ThrowIfNull(measure);
        if (!Values.TryGetValue(measure.Key, out var value))
        {
            return null;
        }

        if (measure.Sign == SignRule.Plain)
        {
            return value;
        }

        return Values.TryGetValue(Measures.TurnFlightKey, out var turn)
            ? value with { Amount = turn.Amount < 0 ? -value.Amount : value.Amount }
            : null;
    }
}

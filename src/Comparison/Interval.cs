namespace Saltograph.Comparison;

/// <summary>An interval of a quantity.</summary>
/// <param name="Low">Lower end.</param>
/// <param name="High">Upper end.</param>
public readonly record struct Interval(double Low, double High)
{
    /// <summary>Whether a value lies inside, ends included.</summary>
    public bool Holds(double value) => value >= Low && value <= High;
}

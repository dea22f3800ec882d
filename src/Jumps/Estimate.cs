namespace Saltograph.Jumps;

/// <summary>A value and its standard uncertainty (k = 1).</summary>
internal readonly record struct Estimate(double Value, double Uncertainty);

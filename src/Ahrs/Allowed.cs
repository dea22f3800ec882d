using System.Runtime.CompilerServices;

namespace Saltograph.Ahrs;

/// <summary>Checks of option values: a wrong option is a wrong call, so it throws, saying what was found and what is allowed.</summary>
internal static class Allowed
{
    public static void Range(double value, double from, double to, [CallerArgumentExpression(nameof(value))] string name = "")
    {
        // Phrased as "not inside", so that NaN is refused too.
        if (!(value >= from && value <= to))
        {
            throw new ArgumentOutOfRangeException(
                name, FormattableString.Invariant($"{name} is {value}; allowed: {from} to {to}."));
        }
    }

    public static void Rate(double rateHz, [CallerArgumentExpression(nameof(rateHz))] string name = "") =>
        Range(rateHz, 1, 100_000, name);
}

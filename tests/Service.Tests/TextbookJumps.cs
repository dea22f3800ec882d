namespace Saltograph.Service.Tests;

/// <summary>
/// Vertical specific force of countermovement jumps on the ideal trunk, in steps: the impulse up to take-off gives the
/// velocity g T / 2, so that the flight of T seconds is ballistic, and the landing takes it away again.
/// </summary>
internal static class TextbookJumps
{
    public const double RateHz = 200;

    private const double G = 9.81;

    /// <summary>Quiet standing, one jump with 0.5 s of flight, quiet standing: 4 s.</summary>
    public static IEnumerable<double> One() =>
    [
        .. Enumerable.Repeat(G, 330),
        .. Enumerable.Repeat(G - 5, 40), // 0.2 s down: -1.0 m/s
        .. Enumerable.Repeat(G + 10.7, 60), // 0.3 s up: +3.2 m/s
        G + 25, G + 24.98, // and the last 0.25 m/s; not twice the same, or it would be a rail
        .. Enumerable.Repeat(0.0, 100),
        .. Enumerable.Repeat(G + 20, 25), // 0.125 s: -2.45 m/s back to 0
        .. Enumerable.Repeat(G, 243),
    ];

    /// <summary>Several in a row.</summary>
    public static double[] Several(int count) => [.. Enumerable.Range(0, count).SelectMany(_ => One())];
}

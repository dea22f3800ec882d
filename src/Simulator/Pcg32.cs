namespace Saltograph.Simulator;

/// <summary>
/// Seeded random numbers that are the same on every machine and runtime: PCG-XSH-RR 64/32 (O'Neill 2014, "PCG: A family
/// of simple fast space-efficient statistically good algorithms", HMC-CS-2014-0905).
/// </summary>
internal sealed class Pcg32
{
    private const ulong Multiplier = 6364136223846793005UL;
    private readonly ulong _seed;
    private readonly ulong _increment;
    private ulong _state;
    private double _spareNormal = double.NaN;

    /// <summary>Starts the sequence. Different streams of one seed are independent.</summary>
    public Pcg32(ulong seed, ulong stream)
    {
        _seed = seed;
        _increment = (stream << 1) | 1;
        _ = NextUInt32();
        _state += seed;
        _ = NextUInt32();
    }

    /// <summary>A generator of its own for one purpose; drawing from it does not shift this one.</summary>
    public Pcg32 Fork(ulong purpose) =>
        new(_seed ^ ((purpose + 1) * 0x9E3779B97F4A7C15UL), (_increment >> 1) ^ ((purpose + 1) * 0xD1B54A32D192ED03UL));

    /// <summary>32 uniform bits.</summary>
    public uint NextUInt32()
    {
        var old = _state;
        _state = (old * Multiplier) + _increment;
        var shifted = (uint)(((old >> 18) ^ old) >> 27);
        return uint.RotateRight(shifted, (int)(old >> 59));
    }

    /// <summary>Uniform in [0, 1), 53 bits.</summary>
    public double Unit()
    {
        var high = (ulong)NextUInt32() << 21;
        return (high ^ (NextUInt32() >> 11)) * (1.0 / (1UL << 53));
    }

    /// <summary>Uniform in [low, high).</summary>
    public double Between(double low, double high) => low + ((high - low) * Unit());

    /// <summary>Uniform integer in [0, count).</summary>
    public int Index(int count) => (int)(Unit() * count);

    /// <summary>True with the given probability.</summary>
    public bool Chance(double probability) => Unit() < probability;

    /// <summary>+1 or -1.</summary>
    public double Sign() => Chance(0.5) ? 1 : -1;

    /// <summary>Standard normal (polar method of Marsaglia).</summary>
    public double Normal()
    {
        if (!double.IsNaN(_spareNormal))
        {
            var spare = _spareNormal;
            _spareNormal = double.NaN;
            return spare;
        }

        while (true)
        {
            var x = (2 * Unit()) - 1;
            var y = (2 * Unit()) - 1;
            var s = (x * x) + (y * y);
            if (s is > 0 and < 1)
            {
                var factor = Math.Sqrt(-2 * Math.Log(s) / s);
                _spareNormal = y * factor;
                return x * factor;
            }
        }
    }

    /// <summary>Normal with the given mean and deviation, cut at 2.5 deviations so that no drawn body is absurd.</summary>
    public double Around(double mean, double deviation) => mean + (deviation * Math.Clamp(Normal(), -2.5, 2.5));
}

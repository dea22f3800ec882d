using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// <see cref="VqfFilter"/> for several sensors side by side, one vector lane each: 8 at a time where the processor has
/// 512-bit vectors, else 4. For re-processing many sensors; one live sensor is served as well by the filter itself.
/// </summary>
/// <remarks>
/// Results equal those of <see cref="VqfFilter"/> to 1e-9 (the sine of the lanes rounds differently). A lane whose sample
/// cannot be a reading is refused and keeps its state; the others go on. The heading runs lane by lane: it branches too much.
/// </remarks>
public sealed class VqfBatch
{
    private readonly VqfCoefficients _coefficients;
    private IVqfBlock[] _blocks;
    private readonly int _width;
    private VqfMagneticState[] _magnetic;
    private double[] _earthFromLevelRad;

    /// <summary>A batch in which every sensor has the same options and rate.</summary>
    /// <param name="coefficients">Coefficients for all.</param>
    /// <param name="sensorCount">Number of sensors, 1 or more.</param>
    /// <param name="lanes">4 or 8 lanes; 0 takes what suits the processor.</param>
    public VqfBatch(VqfCoefficients coefficients, int sensorCount, int lanes = 0)
    {
        ArgumentNullException.ThrowIfNull(coefficients);
        ArgumentOutOfRangeException.ThrowIfLessThan(sensorCount, 1);
        if (lanes is not (0 or 4 or 8))
        {
            throw new ArgumentOutOfRangeException(nameof(lanes), $"lanes is {lanes}; allowed: 4, 8, or 0 for what suits the processor.");
        }

        _coefficients = coefficients;
        _width = lanes != 0 ? lanes : Vector512.IsHardwareAccelerated ? 8 : 4;
        SensorCount = sensorCount;
        Stride = (sensorCount + _width - 1) / _width * _width;
        _blocks = new IVqfBlock[Stride / _width];
        for (var i = 0; i < _blocks.Length; i++)
        {
            var used = Math.Min(_width, sensorCount - (i * _width));
            _blocks[i] = _width == 8 ? new VqfBlock<Lanes8>(coefficients, used) : new VqfBlock<Lanes4>(coefficients, used);
        }

        _magnetic = new VqfMagneticState[sensorCount];
        Array.Fill(_magnetic, VqfMagneticState.Start(coefficients));
        _earthFromLevelRad = new double[sensorCount];
    }

    /// <summary>Number of sensors.</summary>
    public int SensorCount { get; }

    /// <summary>Sensors rounded up to whole blocks: the distance between x, y and z in the inputs.</summary>
    public int Stride { get; }

    /// <summary>
    /// One sample of every sensor: <see cref="Stride"/> values of x, then of y, then of z. Returns whether none was refused.
    /// </summary>
    /// <param name="angularRatesSensorRadps">Gyroscopes, rad/s, 3 x Stride numbers; what stands in unused lanes does not matter.</param>
    /// <param name="specificForcesSensorMps2">Accelerometers, m/s2, likewise.</param>
    public bool Update(ReadOnlySpan<double> angularRatesSensorRadps, ReadOnlySpan<double> specificForcesSensorMps2)
    {
        RequireLength(angularRatesSensorRadps, nameof(angularRatesSensorRadps));
        RequireLength(specificForcesSensorMps2, nameof(specificForcesSensorMps2));
        var accepted = true;
        for (var i = 0; i < _blocks.Length; i++)
        {
            var from = i * _width;
            accepted &= _blocks[i].Update(angularRatesSensorRadps[from..], specificForcesSensorMps2[from..], Stride);
        }

        return accepted;
    }

    /// <summary>As above, with magnetometers; a field that cannot be a reading leaves the heading of its sensor as it is.</summary>
    /// <param name="angularRatesSensorRadps">Gyroscopes, rad/s, 3 x Stride numbers.</param>
    /// <param name="specificForcesSensorMps2">Accelerometers, m/s2, likewise.</param>
    /// <param name="magneticFieldsSensor">Magnetometers, any unit that stays the same, likewise.</param>
    public bool Update(
        ReadOnlySpan<double> angularRatesSensorRadps,
        ReadOnlySpan<double> specificForcesSensorMps2,
        ReadOnlySpan<double> magneticFieldsSensor)
    {
        RequireLength(magneticFieldsSensor, nameof(magneticFieldsSensor));
        var accepted = Update(angularRatesSensorRadps, specificForcesSensorMps2);
        for (var i = 0; i < SensorCount; i++)
        {
            var field = new Vector3D(magneticFieldsSensor[i], magneticFieldsSensor[Stride + i], magneticFieldsSensor[(2 * Stride) + i]);
            var usable = SampleGate.Check(Vector3D.Zero, Vector3D.Zero, field).IsAccepted;
            if (WasRefused(i) || !usable || field == Vector3D.Zero)
            {
                accepted &= usable;
                continue;
            }

            var block = _blocks[i / _width];
            var lane = i % _width;
            _earthFromLevelRad[i] = MagneticHeading.Step(
                ref _magnetic[i], _coefficients, _earthFromLevelRad[i], block.LevelFromSensor(lane).Rotate(field), block.MeanRateRadps(lane));
        }

        return accepted;
    }

    /// <summary>A copy of all that changes; this allocates.</summary>
    public VqfBatchState Capture() => new([.. _blocks.Select(b => b.Copy())], [.. _magnetic], [.. _earthFromLevelRad]);

    /// <summary>Goes on from a captured state, exactly. The state must come from a batch of the same shape and coefficients.</summary>
    public void Restore(VqfBatchState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (state.Blocks.Length != _blocks.Length || state.Blocks[0].GetType() != _blocks[0].GetType() || state.Magnetic.Length != SensorCount)
        {
            throw new ArgumentException(
                $"The state holds {state.Magnetic.Length} sensors in {state.Blocks.Length} blocks; allowed: {SensorCount} in {_blocks.Length}, of the same width.",
                nameof(state));
        }

        _blocks = [.. state.Blocks.Select(b => b.Copy())];
        _magnetic = [.. state.Magnetic];
        _earthFromLevelRad = [.. state.EarthFromLevelRad];
    }

    /// <summary>Whether the last sample of a sensor was refused because it cannot be a reading.</summary>
    public bool WasRefused(int sensor) => _blocks[sensor / _width].WasRefused(sensor % _width);

    /// <summary>Orientation of one sensor.</summary>
    public Rotation EarthFromSensor(int sensor)
    {
        var level = _blocks[sensor / _width].LevelFromSensor(sensor % _width);
        return _earthFromLevelRad[sensor] == 0 ? level : Rotation.AboutVertical(_earthFromLevelRad[sensor]) * level;
    }

    /// <summary>Gyroscope bias of one sensor, rad/s.</summary>
    public Vector3D GyroscopeBiasSensorRadps(int sensor) => _blocks[sensor / _width].BiasRadps(sensor % _width);

    /// <summary>Whether one sensor is at rest.</summary>
    public bool IsAtRest(int sensor) => _blocks[sensor / _width].IsAtRest(sensor % _width);

    private void RequireLength(ReadOnlySpan<double> values, string name)
    {
        if (values.Length != 3 * Stride)
        {
            throw new ArgumentException($"{values.Length} numbers; allowed: {3 * Stride}, which is 3 x Stride.", name);
        }
    }
}

/// <summary>All that changes in a <see cref="VqfBatch"/>.</summary>
public sealed class VqfBatchState
{
    internal VqfBatchState(IVqfBlock[] blocks, VqfMagneticState[] magnetic, double[] earthFromLevelRad)
    {
        Blocks = blocks;
        Magnetic = magnetic;
        EarthFromLevelRad = earthFromLevelRad;
    }

    internal IVqfBlock[] Blocks { get; }

    internal VqfMagneticState[] Magnetic { get; }

    internal double[] EarthFromLevelRad { get; }
}

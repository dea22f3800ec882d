using MathNet.Numerics.LinearAlgebra;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>The two lengths that the force at the centre of mass needs, for one athlete and one way of strapping.</summary>
/// <param name="TrunkSensorM">From the trunk's sensor to the point whose motion stands for head, arms and trunk, sensor frame, m.</param>
/// <param name="SensorToKneeM">From a shank's sensor up to the knee, m.</param>
internal readonly record struct ArmLengths(Vector3D TrunkSensorM, double SensorToKneeM)
{
    /// <summary>Nothing known: the sensor itself, and the knee of a stature of 1.55 m.</summary>
    public static ArmLengths Prior => new(Vector3D.Zero, 0.30);
}

/// <summary>
/// Learns where an athlete's sensors sit from a fact that holds for every flight: the floor gives nothing, so that whatever
/// force is left at the centre of mass comes from arms that are not right yet.
/// </summary>
/// <remarks>
/// A sensor on the back lies 0.1 to 0.2 m from the middle of the trunk; in a turn of 900 deg/s, or while the trunk pitches
/// against the legs, that is 0.2 to 0.3 g that belongs to the place and not to the body. The force is linear in the arms, so
/// that each flight adds one block to the normal equations of a least-squares problem with a Gaussian prior. Older flights
/// fade: a strap moves.
/// </remarks>
internal sealed class BodyArms
{
    /// <summary>Number of unknowns: three for the trunk, one for the knees.</summary>
    public const int Unknowns = 4;

    // A sensor at the back of a pelvis 0.2 m deep and 0.3 m below the middle of the trunk; statures of 1.35 to 1.75 m.
    private const double TrunkSpreadM = 0.15;
    private const double KneeSpreadM = 0.03;

    // What is left of the force in simulated flights with the right arms is 0.12 g and changes within 20 ms.
    private const double ResidualMps2 = 0.12 * Gravity.StandardMps2;
    private const double ResidualTimeS = 0.02;

    // A strap that has moved is learnt anew within some thirty flights.
    private const double KeptPerFlight = 0.97;

    private readonly double[] _information = new double[Unknowns * Unknowns];
    private readonly double[] _vector = new double[Unknowns];
    private ArmLengths _lengths = ArmLengths.Prior;

    public BodyArms()
    {
    }

    private BodyArms(BodyArms other)
    {
        other._information.CopyTo(_information, 0);
        other._vector.CopyTo(_vector, 0);
        _lengths = other._lengths;
    }

    /// <summary>The most likely arms so far.</summary>
    public ArmLengths Lengths => _lengths;

    public BodyArms Clone() => new(this);

    /// <summary>Adds one flight.</summary>
    /// <param name="slopes">Per sample of the flight's inside: by how much a metre of each unknown adds to the force, 1/s2.</param>
    /// <param name="forcesMps2">The force there with <see cref="ArmLengths.Prior"/>, m/s2.</param>
    /// <param name="intervalS">Sample interval, s.</param>
    public void Learn(IReadOnlyList<double[]> slopes, IReadOnlyList<double> forcesMps2, double intervalS)
    {
        var weight = intervalS / ResidualTimeS / (ResidualMps2 * ResidualMps2);
        for (var i = 0; i < _information.Length; i++)
        {
            _information[i] *= KeptPerFlight;
        }

        for (var i = 0; i < Unknowns; i++)
        {
            _vector[i] *= KeptPerFlight;
        }

        for (var n = 0; n < slopes.Count; n++)
        {
            for (var i = 0; i < Unknowns; i++)
            {
                _vector[i] -= weight * slopes[n][i] * forcesMps2[n];
                for (var j = 0; j < Unknowns; j++)
                {
                    _information[(i * Unknowns) + j] += weight * slopes[n][i] * slopes[n][j];
                }
            }
        }

        var normal = Matrix<double>.Build.Dense(Unknowns, Unknowns, (i, j) => _information[(i * Unknowns) + j]);
        for (var i = 0; i < Unknowns; i++)
        {
            var spread = i < 3 ? TrunkSpreadM : KneeSpreadM;
            normal[i, i] += 1 / (spread * spread);
        }

        var found = normal.Cholesky().Solve(Vector<double>.Build.Dense(Unknowns, i => _vector[i]));
        _lengths = new(new(found[0], found[1], found[2]), ArmLengths.Prior.SensorToKneeM + found[3]);
    }
}

using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>
/// A short shake of one sensor against its segment: a swinging displacement that begins and ends smoothly at zero, so that it
/// leaves neither velocity nor displacement behind. Toe-off wobble, spine shock, knocks.
/// </summary>
/// <param name="Site">Which sensor.</param>
/// <param name="StartS">First motion, s.</param>
/// <param name="DurationS">Length, s.</param>
/// <param name="AmplitudeM">Largest displacement, segment axes, m.</param>
/// <param name="Swings">Full swings within the length.</param>
internal sealed record Wobble(Site Site, double StartS, double DurationS, Vector3D AmplitudeM, double Swings)
{
    /// <summary>A wobble of the given peak acceleration (about) and frequency along a direction.</summary>
    public static Wobble Of(Site site, double startS, double durationS, double frequencyHz, double peakG, Vector3D direction)
    {
        var rate = 2 * Math.PI * frequencyHz;
        return new(site, startS, durationS, peakG * Gravity.StandardMps2 / (rate * rate) * direction.Normalized(), frequencyHz * durationS);
    }

    public Vector3D At(double timeS)
    {
        var u = (timeS - StartS) / DurationS;
        if (u is <= 0 or >= 1)
        {
            return Vector3D.Zero;
        }

        var bump = 4 * u * (1 - u);
        return bump * bump * bump * Math.Sin(2 * Math.PI * Swings * u) * AmplitudeM;
    }
}

/// <summary>A sensor off the body, in a hand: displacement and turn against its place on the segment, both ending at zero.</summary>
internal sealed class HandledSensor
{
    private readonly Track[] _displacement = [new(), new(), new()];
    private readonly Track[] _turn = [new(), new(), new()];

    /// <summary>Draws handling from start to end; put on: ends at zero, taken off: starts at zero.</summary>
    public HandledSensor(Site site, double startS, double endS, bool puttingOn, Pcg32 random)
    {
        (Site, StartS, EndS) = (site, startS, endS);
        foreach (var track in _displacement)
        {
            Lay(track, 0.35);
        }

        foreach (var track in _turn)
        {
            Lay(track, 1.6);
        }

        void Lay(Track track, double reach)
        {
            track.Start(startS, new(puttingOn ? random.Around(0, reach) : 0));
            for (var t = Next(startS); t < endS - 0.3; t = Next(t))
            {
                track.Rest(t, random.Around(0, reach));
            }

            track.Rest(endS, puttingOn ? 0 : random.Around(0, reach));
        }

        // Now swung about, now held.
        double Next(double t) => t + (random.Chance(0.4) ? random.Between(0.18, 0.35) : random.Between(0.4, 1.2));
    }

    public Site Site { get; }

    public double StartS { get; }

    public double EndS { get; }

    public (Vector3D Place, Frame Frame) Apply(double timeS, Vector3D place, in Frame frame)
    {
        var turn = Rotation.FromRotationVector(new(_turn[0].Value(timeS), _turn[1].Value(timeS), _turn[2].Value(timeS)));
        var turned = new Frame(
            frame.Outward(turn.Rotate(Vector3D.UnitX)), frame.Outward(turn.Rotate(Vector3D.UnitY)), frame.Outward(turn.Rotate(Vector3D.UnitZ)));
        return (place + new Vector3D(_displacement[0].Value(timeS), _displacement[1].Value(timeS), _displacement[2].Value(timeS)), turned);
    }
}

namespace Saltograph.Simulator.Motion;

/// <summary>Value, rate and acceleration of one channel at one instant.</summary>
internal readonly record struct Knot(double X, double V = 0, double A = 0)
{
    /// <summary>Second-order continuation.</summary>
    public double At(double afterS) => X + (afterS * (V + (0.5 * A * afterS)));
}

/// <summary>Polynomial of degree five between two knots: value, rate and acceleration are met at both ends.</summary>
internal readonly struct Quintic
{
    private readonly double _c0;
    private readonly double _c1;
    private readonly double _c2;
    private readonly double _c3;
    private readonly double _c4;
    private readonly double _c5;

    public Quintic(double startS, Knot start, double endS, Knot end)
    {
        StartS = startS;
        EndS = endS;
        End = end;
        var h = endS - startS;
        _c0 = start.X;
        _c1 = start.V;
        _c2 = start.A / 2;
        var dx = end.X - start.X - (start.V * h) - (start.A * h * h / 2);
        var dv = (end.V - start.V - (start.A * h)) * h;
        var da = (end.A - start.A) * h * h;
        var h3 = h * h * h;
        _c3 = ((10 * dx) - (4 * dv) + (0.5 * da)) / h3;
        _c4 = ((-15 * dx) + (7 * dv) - da) / (h3 * h);
        _c5 = ((6 * dx) - (3 * dv) + (0.5 * da)) / (h3 * h * h);
    }

    public double StartS { get; }

    public double EndS { get; }

    public Knot End { get; }

    public bool EndsAtRest => End.V == 0 && End.A == 0;

    public double Value(double timeS)
    {
        var t = timeS - StartS;
        return _c0 + (t * (_c1 + (t * (_c2 + (t * (_c3 + (t * (_c4 + (t * _c5)))))))));
    }

    public Knot KnotAt(double timeS)
    {
        var t = timeS - StartS;
        return new(
            Value(timeS),
            _c1 + (t * ((2 * _c2) + (t * ((3 * _c3) + (t * ((4 * _c4) + (t * 5 * _c5))))))),
            (2 * _c2) + (t * ((6 * _c3) + (t * ((12 * _c4) + (t * 20 * _c5))))));
    }
}

namespace Saltograph.Simulator.Motion;

/// <summary>One channel of the movement over time: quintic pieces, twice continuously differentiable within a run.</summary>
internal sealed class Track
{
    /// <summary>How far a new run may be continued before its start: enough for the stencil that joins two pieces.</summary>
    private const double ContinuedS = 0.0025;

    private readonly List<Quintic> _pieces = [];
    private int _cursor;
    private double _endS;
    private Knot _end;
    private bool _fresh;

    /// <summary>Where the channel is defined up to.</summary>
    public double EndS => _endS;

    /// <summary>The last knot.</summary>
    public Knot End => _end;

    /// <summary>Begins a new run, for example when a leg that was led by its foot is now led by its joints.</summary>
    public Track Start(double timeS, Knot knot)
    {
        if (_fresh && timeS > _endS)
        {
            // The run before had no piece: what it held must not be forgotten.
            _pieces.Add(new(_endS, _end, timeS, new(_end.X)));
        }

        _endS = timeS;
        _end = knot;
        _fresh = true;
        return this;
    }

    /// <summary>Continues smoothly to the knot.</summary>
    public Track To(double timeS, Knot knot)
    {
        if (timeS <= _endS)
        {
            throw new ArgumentOutOfRangeException(nameof(timeS), timeS, $"A piece must end after {_endS} s.");
        }

        _fresh = false;
        _pieces.Add(new(_endS, _end, timeS, knot));
        _endS = timeS;
        _end = knot;
        return this;
    }

    /// <summary>Continues smoothly to rest at the value.</summary>
    public Track Rest(double timeS, double value) => To(timeS, new Knot(value));

    /// <summary>Appends the pieces of a channel that was planned apart and starts where this one ends.</summary>
    public void Append(Track planned)
    {
        _fresh = false;
        _pieces.AddRange(planned._pieces);
        _endS = planned._endS;
        _end = planned._end;
    }

    /// <summary>A place to come back to with <see cref="Rollback"/>.</summary>
    public (int Count, double EndS, Knot End, bool Fresh) Mark() => (_pieces.Count, _endS, _end, _fresh);

    /// <summary>Takes back everything laid down since the mark.</summary>
    public void Rollback((int Count, double EndS, Knot End, bool Fresh) mark)
    {
        _pieces.RemoveRange(mark.Count, _pieces.Count - mark.Count);
        (_, _endS, _end, _fresh) = mark;
    }

    /// <summary>Forgets all pieces that end before the time.</summary>
    public void Trim(double beforeS)
    {
        var count = 0;
        while (count < _pieces.Count - 1 && _pieces[count].EndS < beforeS)
        {
            count++;
        }

        if (count > 0)
        {
            _pieces.RemoveRange(0, count);
            _cursor = Math.Max(0, _cursor - count);
        }
    }

    /// <summary>The value; outside the pieces the nearest one is continued; after a rest it holds.</summary>
    public double Value(double timeS)
    {
        if (_pieces.Count == 0 || (_fresh && timeS > _endS - ContinuedS))
        {
            return _end.At(timeS - _endS);
        }

        Seek(timeS);
        var piece = _pieces[_cursor];
        return timeS >= piece.EndS && piece.EndsAtRest ? piece.End.X : piece.Value(timeS);
    }

    /// <summary>Value, rate and acceleration.</summary>
    public Knot KnotAt(double timeS)
    {
        if (_pieces.Count == 0 || (_fresh && timeS > _endS - ContinuedS))
        {
            return new(_end.At(timeS - _endS), _end.V + (_end.A * (timeS - _endS)), _end.A);
        }

        Seek(timeS);
        var piece = _pieces[_cursor];
        return timeS >= piece.EndS && piece.EndsAtRest ? piece.End : piece.KnotAt(timeS);
    }

    private void Seek(double timeS)
    {
        var last = _pieces.Count - 1;
        if (_cursor > last)
        {
            _cursor = last;
        }

        while (_cursor < last && timeS >= _pieces[_cursor + 1].StartS)
        {
            _cursor++;
        }

        while (_cursor > 0 && timeS < _pieces[_cursor].StartS)
        {
            _cursor--;
        }
    }
}

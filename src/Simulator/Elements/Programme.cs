using Saltograph.Simulator.Session;

namespace Saltograph.Simulator.Elements;

/// <summary>A training without end: elements in random order with what lies between them.</summary>
internal sealed class Programme(Performer performer, Pcg32 random, SimulationOptions options)
{
    private bool _started;
    private int _checksLeft = options.SensorChecks;

    /// <summary>Dances the next element.</summary>
    public void Next()
    {
        if (!_started)
        {
            _started = true;
            if (options.Strapping)
            {
                performer.Handle(puttingOn: true);
            }

            if (options.StartsStill)
            {
                performer.StandStill(random.Between(4.5, 8));
            }
            else
            {
                performer.Walk(3);
            }

            return;
        }

        if (_checksLeft > 0)
        {
            _checksLeft--;
            performer.CheckSensors();
            return;
        }

        if (performer.Drills())
        {
            return;
        }

        var draw = random.Unit();
        switch (draw)
        {
            case < 0.20: performer.Leaps(1); break;
            case < 0.26: performer.Leaps(2 + random.Index(3)); break;
            case < 0.34: performer.TwoFootJump(); break;
            case < 0.38: performer.Hop(); break;
            case < 0.42: performer.Assemble(); break;
            case < 0.46: performer.Sissonne(); break;
            case < 0.54: performer.Walk(2 + random.Index(6)); break;
            case < 0.60: performer.Run(2 + random.Index(5)); break;
            case < 0.63: performer.Jog(2 + random.Index(5)); break;
            case < 0.71: performer.Pirouette(); break;
            case < 0.75: performer.Squat(false); break;
            case < 0.79: performer.Squat(true); break;
            case < 0.82: performer.DeepBend(); break;
            case < 0.85: performer.ArmThrow(); break;
            case < 0.88: performer.Stairs(1 + random.Index(2)); break;
            case < 0.90: performer.FloorWork(); break;
            case < 0.93: performer.Knocks(); break;
            default: performer.StandStill(random.Between(0.8, 3)); break;
        }
    }

    /// <summary>After the last element.</summary>
    public void End()
    {
        if (options.Strapping)
        {
            performer.Handle(puttingOn: false);
        }
    }
}

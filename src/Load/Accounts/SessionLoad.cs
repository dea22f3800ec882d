namespace Saltograph.Load;

/// <summary>Session load after Foster (1998; 2001): perceived exertion times minutes, in arbitrary units.</summary>
public static class SessionLoad
{
    /// <summary>The load, arbitrary units; null while exertion or minutes are not entered.</summary>
    /// <param name="exertion">Perceived exertion on the category-ratio scale, 0 to 10.</param>
    /// <param name="minutes">Length of the session, above 0 to 1440.</param>
    /// <exception cref="ArgumentOutOfRangeException">What was found, what is allowed.</exception>
    public static double? OfAu(double? exertion, double? minutes)
    {
        var list = new FaultList("");
        list.Number(exertion, 0, 10, nameof(exertion));
        list.Number(minutes, double.Epsilon, 1440, nameof(minutes));
        return list.Faults.Count == 0
            ? exertion * minutes
            : throw new ArgumentOutOfRangeException(list.Faults[0].Where, list.Faults[0].ToString());
    }
}

using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Counts jumps in a row: each that leaves the floor soon after the last one landed continues the series.</summary>
internal struct SeriesMemory
{
    private int _id;
    private int _position;

    /// <summary>Landing of the last recorded jump.</summary>
    public SampleTime? LastLanding { get; private set; }

    public SeriesPlace Next(in FootEvents events, JumpOptions options)
    {
        double? contactS = LastLanding is { } landing ? events.Takeoff - landing : null;
        var continues = contactS is { } contact && contact <= options.LongestContactInSeriesS;
        _id = continues ? _id : _id + 1;
        _position = continues ? _position + 1 : 1;
        LastLanding = events.Landing;
        return new(_id, _position, continues ? contactS : null);
    }
}

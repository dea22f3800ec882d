using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Where an accelerometer was at its rail in the landing.</summary>
internal readonly record struct SaturatedSites(bool Trunk, bool AnkleLeft, bool AnkleRight)
{
    public bool Any => Trunk || AnkleLeft || AnkleRight;
}

/// <summary>Landing shock at all sites of one jump.</summary>
internal sealed record Shocks(
    LandingShock PerSite, double? AttenuationPercent, double? TransferDb, double? RiseTimeS, SaturatedSites Saturated, bool Unfiltered)
{
    public static Shocks Measure(JumpWindow window)
    {
        var options = window.Options;
        var events = window.Events;
        var trunk = ShockMeasure.Find(window.Trunk, events.Landing, options);
        var left = At(window.Left, events.LeftContact);
        var right = At(window.Right, events.RightContact);
        var (foot, landing, contact) = events.LandingFoot switch
        {
            Foot.Left => (window.Left, left, events.LeftContact),
            Foot.Right => (window.Right, right, events.RightContact),
            Foot.Both when events.LeftContact <= events.RightContact => (window.Left, left, events.LeftContact),
            Foot.Both => (window.Right, right, events.RightContact),
            _ => ((SampleTrack?)null, (ShockMeasure?)null, (SampleTime?)null),
        };
        SampleTrack?[] tracks = [window.Trunk, window.Left, window.Right];
        return new(
            new(trunk?.PeakG, left?.PeakG, right?.PeakG),
            trunk is { } proximal && landing is { PeakG: > 0 } distal ? 100 * (1 - (proximal.PeakG / distal.PeakG)) : null,
            foot is not null && contact is { } at ? ShockTransfer.Db(window.Trunk, foot, at) : null,
            landing is { } peak && contact is { } start ? peak.PeakTime - start : null,
            new(trunk is { Saturated: true }, left is { Saturated: true }, right is { Saturated: true }),
            Array.Exists(tracks, track => track is not null && !ShockMeasure.CanFilter(track.SampleRateHz, options)));

        ShockMeasure? At(SampleTrack? track, SampleTime? footContact) =>
            track is not null && footContact is { } time ? ShockMeasure.Find(track, time, options) : null;
    }
}

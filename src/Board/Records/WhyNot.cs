namespace Saltograph.Board.Records;

/// <summary>Says why a measure of a jump is empty, as far as the record tells.</summary>
public static class WhyNot
{
    // Under 60 deg/s the measuring gives no ratio of two turn rates.
    private const double LeastRateForInertiaDps = 60;

    /// <summary>Key of the reason, <c>why.KEY</c> among the texts.</summary>
    /// <param name="sheet">The jump.</param>
    /// <param name="key">Key of a measure that is null in it.</param>
    public static string Key(JumpSheet sheet, string key)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        bool Says(string word) => sheet.Quality.Contains(word, StringComparer.Ordinal);
        var left = Says("ankle-left-missing");
        var right = Says("ankle-right-missing");
        return key switch
        {
            "splitAngleDeg" or "splitAngleAtPeakDeg" or "splitHoldFraction" => Ankles(left, right) ?? (Says("no-still-phase") ? "no-still-phase" : "shank-axis"),
            "landingShockG.ankleLeft" => left ? "ankle-left" : "contact-not-seen",
            "landingShockG.ankleRight" => right ? "ankle-right" : "contact-not-seen",
            "secondFootLagS" => Ankles(left, right) ?? "second-contact",
            "shockAttenuationPercent" or "shockRiseTimeS" => Ankles(left, right) ?? (sheet.Word("landingFoot") is null ? "landing-foot" : "contact-not-seen"),
            "inertiaGrowth" => Slow(sheet, "turnRateTakeoffDps") || Slow(sheet, "turnRateTopDps") ? "slow-turn" : "turn-changed-side",
            "turnRecoveryDeg" => "next-followed",
            "absorptionTimeS" or "absorptionDepthM" => sheet.Number("trunkRiseM") is null ? "too-little-seen" : "did-not-stop",
            "pushOffTimeS" => "push-not-seen",
            "takeoffVelocityMps" or "heightTakeoffVelocityM" or "trunkRiseM" or "crouchDepthM" or "landingShockG.trunk" => "too-little-seen",
            _ => Says("packet-gap") ? "gap" : "unknown",
        };
    }

    private static bool Slow(JumpSheet sheet, string key) => !(Math.Abs(sheet.Number(key) ?? 0) >= LeastRateForInertiaDps);

    private static string? Ankles(bool left, bool right) => (left, right) switch
    {
        (true, true) => "both-ankles",
        (true, false) => "ankle-left",
        (false, true) => "ankle-right",
        _ => null,
    };
}

namespace Saltograph.Comparison;

/// <summary>The measures of a jump that are compared: those of its record, and when its legs open, from its course.</summary>
public static class Measures
{
    /// <summary>Key of the turn in the air, whose sign gives the others theirs.</summary>
    public const string TurnFlightKey = "turnFlightDeg";

    /// <summary>All of them, in the order of the record; those of the course last.</summary>
    public static IReadOnlyList<Measure> All { get; } =
    [
        new("flightTimeS", "flight time", "s", 3, "longer in the air", "shorter in the air"),
        new("heightM", "height", "m", 3, "higher jump", "lower jump"),
        new("heightFlightTimeM", "height from flight time", "m", 3, "higher by the flight time", "lower by the flight time"),
        new("heightTakeoffVelocityM", "height from take-off velocity", "m", 3, "higher by the take-off velocity", "lower by the take-off velocity"),
        new("trunkRiseM", "rise of the trunk", "m", 3, "trunk lifted higher", "trunk lifted less"),
        new("takeoffVelocityMps", "take-off velocity", "m/s", 2, "faster off the floor", "slower off the floor"),
        new("pushOffTimeS", "push-off time", "s", 3, "longer push-off", "quicker push-off"),
        new("crouchDepthM", "crouch depth", "m", 3, "deeper bend before the push-off", "smaller bend before the push-off"),
        new("turnPreparationDeg", "turn in preparation", "deg", 0, "more turn on the floor before take-off", "less turn on the floor before take-off", SignRule.AlongTheTurn),
        new(TurnFlightKey, "turn in the air", "deg", 0, "more turn in the air", "less turn in the air", SignRule.AlongTheTurn),
        new("turnRecoveryDeg", "turn after landing", "deg", 0, "more turn after landing", "less turn after landing", SignRule.AlongTheTurn),
        new("turnRateTakeoffDps", "turn rate at take-off", "deg/s", 0, "faster turn at take-off", "slower turn at take-off", SignRule.AlongTheTurn),
        new("turnRateTopDps", "turn rate at the peak", "deg/s", 0, "faster turn at the peak", "slower turn at the peak", SignRule.AlongTheTurn),
        new("turnRatePeakDps", "largest turn rate", "deg/s", 0, "faster turn at its fastest", "slower turn at its fastest", SignRule.AlongTheTurn),
        new("inertiaGrowth", "inertia growth", "1", 2, "turn slowed more by opening", "turn slowed less by opening"),
        new("splitAngleDeg", "split angle", "deg", 0, "legs open wider", "legs open less"),
        new("splitAngleAtPeakDeg", "split angle at the peak", "deg", 0, "legs open wider at the peak", "legs open less at the peak"),
        new("splitHoldFraction", "split held", "1", 2, "split held longer", "split held shorter"),
        new("secondFootLagS", "second foot after the first", "s", 3, "second foot down later", "second foot down sooner"),
        new("landingShockG.trunk", "landing shock, trunk", "[g]", 1, "harder landing at the trunk", "softer landing at the trunk"),
        new("landingShockG.ankleLeft", "landing shock, left ankle", "[g]", 1, "harder landing on the left foot", "softer landing on the left foot"),
        new("landingShockG.ankleRight", "landing shock, right ankle", "[g]", 1, "harder landing on the right foot", "softer landing on the right foot"),
        new("shockAttenuationPercent", "shock attenuation", "%", 0, "more of the shock kept from the trunk", "less of the shock kept from the trunk"),
        new("shockRiseTimeS", "shock rise time", "s", 3, "shock rises more slowly", "shock rises faster"),
        new("absorptionTimeS", "absorption time", "s", 3, "landing absorbed longer", "landing absorbed shorter"),
        new("absorptionDepthM", "absorption depth", "m", 3, "deeper bend in the landing", "smaller bend in the landing"),
        new("series.contactTimeS", "contact time in a series", "s", 3, "longer on the floor between jumps of a series", "quicker off the floor between jumps of a series"),
        new(CourseTiming.LegsOpenKey, "legs half open, about take-off", "s", 3, "legs open later", "legs open sooner"),
        new(CourseTiming.LegsWidestKey, "legs widest, about the middle of the flight", "s", 3, "legs widest later in the flight", "legs widest sooner in the flight"),
    ];
}

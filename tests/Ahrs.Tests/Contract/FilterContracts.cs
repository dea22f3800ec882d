namespace Saltograph.Ahrs.Tests;

public sealed class VqfContract : FilterContract<VqfState>
{
    protected override OrientationFilter Create() => new VqfFilter(new(), RateHz);

    protected override VqfState Capture(OrientationFilter filter) => ((VqfFilter)filter).Capture();

    protected override void Restore(OrientationFilter filter, VqfState state) => ((VqfFilter)filter).Restore(state);
}

public sealed class BasicVqfContract : FilterContract<VqfState>
{
    // Without bias estimation and rejection the rest detection is switched off too, so rest is asked for.
    protected override OrientationFilter Create() => new VqfFilter(VqfOptions.Basic with { RestBiasEstimation = true }, RateHz);

    protected override VqfState Capture(OrientationFilter filter) => ((VqfFilter)filter).Capture();

    protected override void Restore(OrientationFilter filter, VqfState state) => ((VqfFilter)filter).Restore(state);
}

public sealed class MahonyContract : FilterContract<MahonyState>
{
    protected override OrientationFilter Create() => new MahonyFilter(new(), RateHz);

    protected override MahonyState Capture(OrientationFilter filter) => ((MahonyFilter)filter).Capture();

    protected override void Restore(OrientationFilter filter, MahonyState state) => ((MahonyFilter)filter).Restore(state);
}

public sealed class MadgwickContract : FilterContract<MadgwickState>
{
    protected override OrientationFilter Create() => new MadgwickFilter(new(), RateHz);

    protected override MadgwickState Capture(OrientationFilter filter) => ((MadgwickFilter)filter).Capture();

    protected override void Restore(OrientationFilter filter, MadgwickState state) => ((MadgwickFilter)filter).Restore(state);
}

public sealed class AthleteContract : FilterContract<AthleteState>
{
    protected override OrientationFilter Create() => new AthleteFilter(new(), RateHz);

    protected override AthleteState Capture(OrientationFilter filter) => ((AthleteFilter)filter).Capture();

    protected override void Restore(OrientationFilter filter, AthleteState state) => ((AthleteFilter)filter).Restore(state);
}

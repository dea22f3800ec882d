using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>What all filters of this library have in common: the checks before a sample is taken.</summary>
public abstract class OrientationFilter : IOrientationFilter
{
    private protected OrientationFilter()
    {
    }

    /// <inheritdoc/>
    public abstract Rotation EarthFromSensor { get; }

    /// <inheritdoc/>
    public abstract Vector3D GyroscopeBiasSensorRadps { get; }

    /// <inheritdoc/>
    public abstract double? GyroscopeBiasSigmaRadps { get; }

    /// <inheritdoc/>
    public abstract bool IsAtRest { get; }

    /// <summary>Sample interval that times are checked against, s.</summary>
    public abstract double IntervalS { get; }

    private protected abstract ref SampleGate Gate { get; }

    /// <inheritdoc/>
    public abstract void Reset();

    /// <inheritdoc/>
    public UpdateResult Update(in Vector3D angularRateSensorRadps, in Vector3D specificForceSensorMps2)
    {
        var result = SampleGate.Check(angularRateSensorRadps, specificForceSensorMps2);
        if (result.IsAccepted)
        {
            Step(angularRateSensorRadps, specificForceSensorMps2, SampleMarks.None);
        }

        return result;
    }

    /// <inheritdoc/>
    public UpdateResult Update(
        in Vector3D angularRateSensorRadps, in Vector3D specificForceSensorMps2, in Vector3D magneticFieldSensor)
    {
        var result = SampleGate.Check(angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor);
        if (result.IsAccepted)
        {
            Step(angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor, SampleMarks.None);
        }

        return result;
    }

    /// <inheritdoc/>
    public UpdateResult Update(in ImuSample sample)
    {
        var result = Check(sample);
        if (result.IsAccepted)
        {
            Step(sample.AngularRateSensorRadps, sample.SpecificForceSensorMps2, sample.Marks);
            Gate.Take(sample.Time);
        }

        return result;
    }

    /// <inheritdoc/>
    public UpdateResult Update(in ImuSample sample, in Vector3D magneticFieldSensor)
    {
        var result = SampleGate.Check(sample.AngularRateSensorRadps, sample.SpecificForceSensorMps2, magneticFieldSensor);
        result = result.IsAccepted ? Gate.CheckTime(sample, IntervalS) : result;
        if (result.IsAccepted)
        {
            Step(sample.AngularRateSensorRadps, sample.SpecificForceSensorMps2, magneticFieldSensor, sample.Marks);
            Gate.Take(sample.Time);
        }

        return result;
    }

    private protected abstract void Step(in Vector3D angularRate, in Vector3D specificForce, SampleMarks marks);

    private protected abstract void Step(
        in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField, SampleMarks marks);

    private UpdateResult Check(in ImuSample sample)
    {
        var result = SampleGate.Check(sample.AngularRateSensorRadps, sample.SpecificForceSensorMps2);
        return result.IsAccepted ? Gate.CheckTime(sample, IntervalS) : result;
    }
}

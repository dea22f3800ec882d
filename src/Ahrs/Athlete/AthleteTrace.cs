using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// What <see cref="AthleteSmoother"/> needs from the forward run: the motion is given per stretch, so one hypothesis is
/// enough, and every step is written down.
/// </summary>
internal sealed class AthleteTrace(bool[] isTravelling)
{
    private Note _open;

    public List<Note> Steps { get; } = [];

    public bool IsTravelling(int stretch) => stretch < isTravelling.Length && isTravelling[stretch];

    public void Propagated(ref AthleteState state) =>
        _open = new() { Sums = state.Sums, Predicted = state.InPlace.Covariance };

    public void Measured(ref AthleteState state)
    {
        _open.Correction = state.InPlace.Mean;
        _open.Covariance = state.InPlace.Covariance;
        _open.LevelFromSensor = state.LevelFromSensor;
        _open.BiasRadps = state.BiasRadps;
        _open.Scale = state.Scale;
        Steps.Add(_open);
    }

    /// <summary>One step: how it came about, and what its measurements said before the estimate was moved.</summary>
    internal struct Note
    {
        public StepSums Sums;
        public ErrorMatrix Predicted;
        public ErrorMatrix Covariance;
        public ErrorVector Correction;
        public Rotation LevelFromSensor;
        public Vector3D BiasRadps;
        public Vector3D Scale;
    }
}

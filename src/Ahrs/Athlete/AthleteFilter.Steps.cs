using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <content>What happens at the end of each step and stretch.</content>
public sealed partial class AthleteFilter
{
    private const int N = ErrorIndex.Count;

    private void FinishStep(ref AthleteState s)
    {
        var c = _coefficients;
        s.InPlace.Propagate(s.Sums, c.BiasVariance);
        if (_trace is null)
        {
            s.Travel.Propagate(s.Sums, c.BiasVariance);
        }

        _trace?.Propagated(ref s);
        var measured = s.Rest.AtRest;
        if (measured)
        {
            s.InPlaceLikelihood += MeasureRest(ref s.InPlace, ref s) / c.RestRepeats;
            if (_trace is null)
            {
                s.TravelLikelihood += MeasureRest(ref s.Travel, ref s) / c.RestRepeats;
            }
        }

        if (++s.StepsInStretch == AthleteCoefficients.StepsPerStretch)
        {
            FinishStretch(ref s);
            measured = true;
        }

        _trace?.Measured(ref s);
        if (measured)
        {
            Correct(ref s);
        }

        s.Sums = default;
        s.SamplesInStep = 0;
    }

    /// <summary>At rest: no velocity, and the low-passed gyroscope is its bias.</summary>
    private double MeasureRest(ref ErrorState error, ref AthleteState s)
    {
        var c = _coefficients;
        var mean = s.Rest.MeanAngularRateRadps - s.BiasRadps;
        var likelihood = error.Measure(ErrorIndex.Velocity, 1, 0, 0, -s.VelocityX, c.RestSpeedVariance)
            + error.Measure(ErrorIndex.Velocity + 1, 1, 0, 0, -s.VelocityY, c.RestSpeedVariance);
        _ = error.Measure(ErrorIndex.Bias, 1, 0, 0, mean.X, c.RestRateVariance);
        _ = error.Measure(ErrorIndex.Bias + 1, 1, 0, 0, mean.Y, c.RestRateVariance);
        _ = error.Measure(ErrorIndex.Bias + 2, 1, 0, 0, mean.Z, c.RestRateVariance);
        return likelihood;
    }

    private void FinishStretch(ref AthleteState s)
    {
        var c = _coefficients;
        var travelling = _trace?.IsTravelling(s.Stretches) ?? false;
        s.InPlaceLikelihood += MeasureSpeed(ref s.InPlace, ref s, travelling ? c.Travel : c.InPlace);
        if (_trace is null)
        {
            s.TravelLikelihood += MeasureSpeed(ref s.Travel, ref s, c.Travel);
            Weigh(ref s);
            Mix(ref s);
        }

        s.PreviousX = s.PathX / s.StretchTimeS;
        s.PreviousY = s.PathY / s.StretchTimeS;
        s.PreviousTimeS = s.StretchTimeS;
        s.HasPrevious = true;
        s.PathX = 0;
        s.PathY = 0;
        s.StretchTimeS = 0;
        s.StepsInStretch = 0;
        s.Stretches++;
    }

    /// <summary>
    /// The mean velocity m of this stretch and p of the one before: m - Keep p = 0 with the model's variance.
    /// </summary>
    /// <remarks>
    /// Seen from the end of the stretch, with a velocity error dv there and a tilt error that has changed it by
    /// g x tilt per second, the mean of a stretch whose middle lies h seconds back is wrong by dv - h g x tilt.
    /// </remarks>
    private static double MeasureSpeed(ref ErrorState error, ref AthleteState s, SpeedModel model)
    {
        var keep = s.HasPrevious ? model.Keep : 0;
        var variance = s.HasPrevious ? model.Variance : model.StartVariance;
        var middle = 0.5 * s.StretchTimeS;
        var previousMiddle = s.StretchTimeS + (0.5 * s.PreviousTimeS);
        var lever = StandardGravity * (middle - (keep * previousMiddle));
        var x = (s.PathX / s.StretchTimeS) - (keep * s.PreviousX);
        var y = (s.PathY / s.StretchTimeS) - (keep * s.PreviousY);
        return error.Measure(ErrorIndex.Velocity, 1 - keep, ErrorIndex.Tilt + 1, -lever, -x, variance)
            + error.Measure(ErrorIndex.Velocity + 1, 1 - keep, ErrorIndex.Tilt, lever, -y, variance);
    }

    /// <summary>Bayes: each hypothesis by the likelihood of what was measured since the last time.</summary>
    private static void Weigh(ref AthleteState s)
    {
        // The exponent is bounded so that a probability never becomes 0 / 0; RegimeChange keeps either hypothesis alive.
        s.LikelihoodRatio = Math.Clamp(s.TravelLikelihood - s.InPlaceLikelihood, -500, 500);
        var ratio = Math.Exp(s.LikelihoodRatio);
        var travel = s.TravelProbability * ratio;
        s.TravelProbability = travel / (travel + 1 - s.TravelProbability);
        s.InPlaceLikelihood = 0;
        s.TravelLikelihood = 0;
    }

    /// <summary>Either hypothesis goes on from a mixture of both, by the probability that the person changed between them.</summary>
    private void Mix(ref AthleteState s)
    {
        var change = _coefficients.RegimeChange;
        var travel = s.TravelProbability;
        var place = 1 - travel;
        var nextPlace = ((1 - change) * place) + (change * travel);
        var nextTravel = (change * place) + ((1 - change) * travel);
        var fromTravelToPlace = change * travel / nextPlace;
        var fromPlaceToTravel = change * place / nextTravel;

        Span<double> pm = s.InPlace.Mean;
        Span<double> tm = s.Travel.Mean;
        Span<double> pc = s.InPlace.Covariance;
        Span<double> tc = s.Travel.Covariance;
        Span<double> difference = stackalloc double[N];
        for (var i = 0; i < N; i++)
        {
            difference[i] = tm[i] - pm[i];
        }

        // Of two components with weights 1 - w and w: mean a + w d, covariance (1-w) A + w B + w (1-w) d d'.
        var spreadPlace = fromTravelToPlace * (1 - fromTravelToPlace);
        var spreadTravel = fromPlaceToTravel * (1 - fromPlaceToTravel);
        for (var i = 0; i < N; i++)
        {
            for (var j = 0; j < N; j++)
            {
                var k = (i * N) + j;
                var a = pc[k];
                var b = tc[k];
                var d = difference[i] * difference[j];
                pc[k] = a + (fromTravelToPlace * (b - a)) + (spreadPlace * d);
                tc[k] = b + (fromPlaceToTravel * (a - b)) + (spreadTravel * d);
            }
        }

        for (var i = 0; i < N; i++)
        {
            pm[i] += fromTravelToPlace * difference[i];
            tm[i] -= fromPlaceToTravel * difference[i];
        }

        s.TravelProbability = nextTravel;
    }

    /// <summary>Moves the common estimate to the mean of both hypotheses, and their means back by as much.</summary>
    private void Correct(ref AthleteState s)
    {
        var travel = _trace is null ? s.TravelProbability : 0;
        Span<double> place = s.InPlace.Mean;
        Span<double> other = s.Travel.Mean;
        Span<double> x = stackalloc double[N];
        for (var i = 0; i < N; i++)
        {
            x[i] = place[i] + (travel * (other[i] - place[i]));
            place[i] -= x[i];
            other[i] -= x[i];
        }

        s.LevelFromSensor = (Rotation.FromRotationVector(new(x[0], x[1], 0)) * s.LevelFromSensor).Normalized();
        s.BiasRadps += new Vector3D(x[2], x[3], x[4]);
        s.Scale += new Vector3D(x[5], x[6], x[7]);
        s.VelocityX += x[8];
        s.VelocityY += x[9];

        // The kept means too, each as seen from now (see MeasureSpeed).
        var middle = 0.5 * StandardGravity * s.StretchTimeS;
        s.PathX += s.StretchTimeS * (x[8] - (middle * x[1]));
        s.PathY += s.StretchTimeS * (x[9] + (middle * x[0]));
        var previousMiddle = StandardGravity * (s.StretchTimeS + (0.5 * s.PreviousTimeS));
        s.PreviousX += x[8] - (previousMiddle * x[1]);
        s.PreviousY += x[9] + (previousMiddle * x[0]);
        s.BiasSigmaRadps = BiasSigma(ref s, travel);

        // Of the likelier hypothesis: the two agree about the bias unless one has just been dropped.
        var up = UpSensor(s.LevelFromSensor);
        s.Heading = travel > 0.5 ? HeadingTrust.Of(s.Travel.Covariance, up) : HeadingTrust.Of(s.InPlace.Covariance, up);
    }

    /// <summary>Of the mixture: its variance is the mean variance plus the spread of the means.</summary>
    private static Vector3D BiasSigma(ref AthleteState s, double travel)
    {
        ReadOnlySpan<double> pc = s.InPlace.Covariance;
        ReadOnlySpan<double> tc = s.Travel.Covariance;
        ReadOnlySpan<double> pm = s.InPlace.Mean;
        ReadOnlySpan<double> tm = s.Travel.Mean;
        Span<double> sigma = stackalloc double[3];
        for (var i = 0; i < 3; i++)
        {
            var k = ErrorIndex.Bias + i;
            var d = (k * N) + k;
            var spread = tm[k] - pm[k];
            sigma[i] = Math.Sqrt(pc[d] + (travel * (tc[d] - pc[d])) + (travel * (1 - travel) * spread * spread));
        }

        return new(sigma[0], sigma[1], sigma[2]);
    }
}

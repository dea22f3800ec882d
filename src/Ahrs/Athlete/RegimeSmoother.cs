namespace Saltograph.Ahrs;

/// <summary>
/// Which stretches were travelled, judged from the whole recording: forward and backward probabilities of a Markov chain
/// with two states (L. Rabiner, Proceedings of the IEEE 77(2):257-286, 1989).
/// </summary>
internal static class RegimeSmoother
{
    /// <summary>Decides each stretch from all of them.</summary>
    /// <param name="likelihoodRatios">Per stretch: logarithm of the likelihood of travelling over that of staying.</param>
    /// <param name="change">Probability of a change between two stretches.</param>
    public static bool[] Travelling(IReadOnlyList<double> likelihoodRatios, double change)
    {
        var ahead = new double[likelihoodRatios.Count];
        var probability = 0.5;
        for (var k = 0; k < ahead.Length; k++)
        {
            var predicted = (probability * (1 - change)) + ((1 - probability) * change);
            var travel = predicted * Math.Exp(likelihoodRatios[k]);
            probability = travel / (travel + 1 - predicted);
            ahead[k] = probability;
        }

        // Backward: likelihood of all later stretches given travelling (a) and staying (1 - a), scaled to sum to one.
        var result = new bool[ahead.Length];
        var later = 0.5;
        for (var k = ahead.Length - 1; k >= 0; k--)
        {
            result[k] = ahead[k] * later > (1 - ahead[k]) * (1 - later);
            var travel = later * Math.Exp(likelihoodRatios[k]);
            var stay = 1 - later;
            var a = ((1 - change) * travel) + (change * stay);
            var b = (change * travel) + ((1 - change) * stay);
            later = a / (a + b);
        }

        return result;
    }
}

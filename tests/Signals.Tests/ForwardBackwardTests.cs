using FsCheck.Xunit;

namespace Saltograph.Signals.Tests;

public sealed class ForwardBackwardTests
{
    [Theory]
    [InlineData(2)]
    [InlineData(10)]
    [InlineData(30)]
    public void A_sine_keeps_its_phase_and_loses_the_gain_of_both_passes(double frequencyHz)
    {
        const double RateHz = 400;
        const double CutoffHz = 20;
        var values = Enumerable.Range(0, 4000).Select(i => Math.Sin(2 * Math.PI * frequencyHz * i / RateHz)).ToArray();
        var filtered = (double[])values.Clone();
        ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(CutoffHz, RateHz), filtered);

        // Analogue Butterworth: power gain 1 / (1 + (f/fc)^4) per pass, with the frequencies warped by the bilinear transform.
        var ratio = Math.Tan(Math.PI * frequencyHz / RateHz) / Math.Tan(Math.PI * CutoffHz / RateHz);
        var gain = 1 / (1 + Math.Pow(ratio, 4));
        for (var i = 1000; i < 3000; i++)
        {
            Assert.Equal(gain * values[i], filtered[i], 1e-6);
        }
    }

    [Fact]
    public void A_peak_stays_where_it_is_and_its_sides_stay_alike()
    {
        var values = new double[801];
        values[400] = 1;
        ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(60, 416), values);
        Assert.Equal(400, Array.IndexOf(values, values.Max()));
        for (var k = 1; k < 50; k++)
        {
            Assert.Equal(values[400 - k], values[400 + k], 1e-9);
        }
    }

    [Property]
    public void A_constant_and_a_ramp_come_out_unchanged(short offset, short slope)
    {
        var values = Enumerable.Range(0, 300).Select(i => offset + (slope * i / 300.0)).ToArray();
        var filtered = (double[])values.Clone();
        ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(10, 100), filtered);
        for (var i = 0; i < values.Length; i++)
        {
            Assert.Equal(values[i], filtered[i], 1e-3 + (1e-6 * Math.Abs((double)slope)));
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    public void Too_few_values_are_left_alone(int count)
    {
        var values = Enumerable.Repeat(3.0, count).ToArray();
        ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(10, 100), values);
        Assert.All(values, v => Assert.Equal(3.0, v));
    }
}

using System.Numerics;

namespace Saltograph.Signals.Tests;

public sealed class BiquadTests
{
    /// <summary>
    /// Channel frequency classes of SAE J211-1: a second-order Butterworth section designed at 2.0775 CFC, run forward and
    /// backward. Coefficients by its formulas (sign of the feedback as there: b1 = -a1, b2 = -a2), -3 dB of both passes.
    /// </summary>
    public static TheoryData<double, double, double, double, double, double> Classes => new()
    {
        { 60, 1000, 0.097184625, 0.945574009, -0.334312510, 101.82 },
        { 60, 2000, 0.029806072, 1.455728214, -0.574952502, 100.46 },
        { 60, 10_000, 0.001452367, 1.889343224, -0.895152694, 100.02 },
        { 180, 2000, 0.185874043, 0.466875271, -0.210371444, 312.31 },
        { 180, 10_000, 0.011796271, 1.670117463, -0.717302548, 300.49 },
    };

    [Theory]
    [MemberData(nameof(Classes))]
    public void Coefficients_are_those_of_the_channel_frequency_class(
        double channelClass, double rateHz, double a0, double b1, double b2, double halfPowerHz)
    {
        var section = BiquadCoefficients.ButterworthLowPass(2.0775 * channelClass, rateHz);
        Assert.Equal(a0, section.B0, 1e-8);
        Assert.Equal(2 * a0, section.B1, 2e-8);
        Assert.Equal(a0, section.B2, 1e-8);
        Assert.Equal(b1, -section.A1, 1e-8);
        Assert.Equal(b2, -section.A2, 1e-8);
        // Both passes: the gain of one, squared, is 1/sqrt(2).
        Assert.Equal(Math.Sqrt(0.5), Math.Pow(Gain(section, halfPowerHz, rateHz), 2), 1e-4);
    }

    [Theory]
    [MemberData(nameof(Classes))]
    public void Gain_at_zero_frequency_is_one(double channelClass, double rateHz, double a0, double b1, double b2, double halfPowerHz)
    {
        _ = (a0, b1, b2, halfPowerHz);
        var section = BiquadCoefficients.ButterworthLowPass(2.0775 * channelClass, rateHz);
        Assert.Equal(1, Gain(section, 0, rateHz), 1e-12);
    }

    [Theory]
    [InlineData(10, 100)]
    [InlineData(60, 416)]
    [InlineData(0.075, 500)]
    public void Gain_at_the_cutoff_is_half_the_power(double cutoffHz, double rateHz) =>
        Assert.Equal(Math.Sqrt(0.5), Gain(BiquadCoefficients.ButterworthLowPass(cutoffHz, rateHz), cutoffHz, rateHz), 1e-9);

    // fc = sqrt(2) / (2 pi tau) at 100 Hz; printed digits of the low passes of an orientation filter with these time constants.
    [Theory]
    [InlineData(3, 5.53708837461e-6, -1.9933333579, 0.993355506255)]
    [InlineData(0.5, 1.96065872396e-4, -1.96000517628, 0.960789439767)]
    public void Slow_low_passes_have_the_expected_coefficients(double timeConstantS, double b0, double a1, double a2)
    {
        var section = BiquadCoefficients.ButterworthLowPass(Math.Sqrt(2) / (2 * Math.PI * timeConstantS), 100);
        Assert.Equal(b0, section.B0, b0 * 1e-8);
        Assert.Equal(a1, section.A1, 1e-9);
        Assert.Equal(a2, section.A2, 1e-9);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(50)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    public void A_cutoff_outside_its_band_is_refused_with_what_is_allowed(double cutoffHz)
    {
        var problem = Assert.Throws<ArgumentOutOfRangeException>(() => BiquadCoefficients.ButterworthLowPass(cutoffHz, 100));
        Assert.Contains("must be inside (0, 50) Hz, half of the 100 Hz sample rate.", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_settled_section_passes_a_constant_unchanged()
    {
        var section = BiquadCoefficients.ButterworthLowPass(0.075, 500);
        var state = default(BiquadState);
        state.Settle(section, 9.81);
        for (var i = 0; i < 10_000; i++)
        {
            // 1 + a1 + a2 is 9e-7 here: rounding of the coefficients at 1e-16 comes out as 1e-10 of the value.
            Assert.Equal(9.81, state.Step(section, 9.81), 1e-8);
        }
    }

    [Fact]
    public void A_copy_of_the_state_goes_on_exactly()
    {
        var section = BiquadCoefficients.ButterworthLowPass(7, 100);
        var state = default(BiquadState);
        for (var i = 0; i < 50; i++)
        {
            state.Step(section, Math.Sin(i));
        }

        var copy = state;
        for (var i = 50; i < 100; i++)
        {
            Assert.Equal(state.Step(section, Math.Sin(i)), copy.Step(section, Math.Sin(i)));
        }
    }

    private static double Gain(in BiquadCoefficients c, double frequencyHz, double rateHz)
    {
        var z = Complex.Exp(new Complex(0, -2 * Math.PI * frequencyHz / rateHz));
        return Complex.Abs((c.B0 + (c.B1 * z) + (c.B2 * z * z)) / (1 + (c.A1 * z) + (c.A2 * z * z)));
    }
}

using System.IO.Enumeration;

namespace Saltograph.Architecture;

/// <summary>A public number says its unit in its name, or is listed with the reason why it has none.</summary>
public sealed class UnitNameTests
{
    private const int ShortestWord = 5;

    private static readonly string[] Endings = [.. DataFile.Rows("units.txt", columns: 3).Select(row => row[0])];
    private static readonly string[] Unitless = [.. DataFile.Rows("unitless.txt", columns: 2).Select(row => row[0])];

    private static IEnumerable<(string Member, string Name)> Numbers => SourceProject.Core.SelectMany(project => PublicNumbers.Of(project.Assembly));

    [Fact]
    public void Public_numbers_of_the_core_end_in_a_unit_or_are_listed_as_unitless()
    {
        var unclear = Numbers.Where(number => !EndsInUnit(number.Name) && !Unitless.Any(pattern => Matches(pattern, number.Member)));
        Violations.None(unclear.Select(number => $"{number.Member} ends in no unit of units.txt and is not in unitless.txt"));
    }

    [Fact]
    public void Every_unitless_entry_still_names_a_member()
    {
        var numbers = Numbers.ToList();
        var stale = Unitless.Where(pattern => !numbers.Exists(number => Matches(pattern, number.Member) && !EndsInUnit(number.Name)));
        Violations.None(stale);
    }

    [Fact]
    public void Every_unitless_entry_has_a_reason() => Assert.All(DataFile.Rows("unitless.txt", columns: 2), row => Assert.NotEmpty(row[1]));

    [Theory]
    [InlineData("flightTimeS", true)]
    [InlineData("TurnRatePeakDps", true)]
    [InlineData("specificForceSensorMps2", true)]
    [InlineData("seconds", true)]
    [InlineData("Mps2", false)]
    [InlineData("gains", false)]
    [InlineData("RMS", false)]
    [InlineData("height", false)]
    [InlineData("timeMinutes", false)]
    public void A_name_carries_a_unit_behind_a_small_letter_or_a_digit_or_is_the_unit_written_out(string name, bool ends) => Assert.Equal(ends, EndsInUnit(name));

    [Fact]
    public void The_scan_sees_every_kind_of_public_number()
    {
        var seen = PublicNumbers.Of(typeof(Sample).Assembly).Select(number => number.Member).Where(member => member.Contains("Sample", StringComparison.Ordinal));
        Assert.Equal(
            [
                "Saltograph.Architecture.UnitNameTests.Sample.Field",
                "Saltograph.Architecture.UnitNameTests.Sample.Maybe",
                "Saltograph.Architecture.UnitNameTests.Sample.Method(array)",
                "Saltograph.Architecture.UnitNameTests.Sample.Method(byReference)",
                "Saltograph.Architecture.UnitNameTests.Sample.Method(list)",
                "Saltograph.Architecture.UnitNameTests.Sample.Method(span)",
                "Saltograph.Architecture.UnitNameTests.Sample.Vector",
                "Saltograph.Architecture.UnitNameTests.Sample.ctor(constructor)",
            ],
            seen.Order(StringComparer.Ordinal),
            StringComparer.Ordinal);
    }

    // A unit written out ('Seconds') may also be the whole name; a symbol ('S') may not.
    private static bool EndsInUnit(string name) => Array.Exists(Endings, ending => name.Length > ending.Length
        ? name.EndsWith(ending, StringComparison.Ordinal)
            && (char.IsLower(name[^(ending.Length + 1)]) || char.IsDigit(name[^(ending.Length + 1)]))
        : ending.Length >= ShortestWord && name.Equals(ending, StringComparison.OrdinalIgnoreCase));

    private static bool Matches(string pattern, string member) => FileSystemName.MatchesSimpleExpression(pattern, member, ignoreCase: false);

    /// <summary>What the scan must find, and the whole number that it must not.</summary>
    public sealed class Sample(double constructor)
    {
        public float Field = (float)constructor;

        public double? Maybe { get; init; }

        public Imu.Vector3D Vector { get; private set; }

        public int Count { get; init; }

        public void Method(double[] array, ref double byReference, IReadOnlyList<double> list, ReadOnlySpan<float> span, long ticks)
        {
            byReference = array[0] + list[0] + span[0] + ticks;
            Vector = default;
        }
    }
}

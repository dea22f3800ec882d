using Saltograph.Service.Recordings;
using Saltograph.Service.Results;

namespace Saltograph.Service.Tests.Results;

public sealed class JumpRecordReaderTests : IDisposable
{
    private const string Least = "\"athlete\":\"amber\",\"number\":1,\"takeoffS\":1,\"peakS\":1.2,\"landingS\":1.4,\"flightTimeS\":0.4,\"heightM\":0.196";

    private readonly TemporaryFolder _folder = new();

    [Fact]
    public void Numbers_of_a_record_are_found_by_their_keys_and_null_is_not_there()
    {
        var path = _folder.Write("a.jsonl", "{" + Least + ",\"splitAngleDeg\":170,\"crouchDepthM\":null,\"landingShockG\":{\"trunk\":3.1,\"ankleLeft\":null},\"series\":{\"id\":1,\"position\":2,\"contactTimeS\":0.2},\"uncertainty\":{\"heightM\":0.01,\"landingShockG\":{\"trunk\":0.1}},\"grade\":\"A\",\"quality\":[\"packet-gap\"],\"form\":\"leap\"}\n\n{" + Least.Replace("\"number\":1", "\"number\":2", StringComparison.Ordinal) + "}\n");
        Assert.Null(JumpRecordReader.Read(path, out var jumps));
        Assert.Equal(2, jumps.Count);
        Assert.Equal(3, jumps[1].Line);
        Assert.Equal("amber", jumps[0].Athlete.Value);
        Assert.Equal(170, jumps[0].Values["splitAngleDeg"]);
        Assert.Equal(3.1, jumps[0].Values["landingShockG.trunk"]);
        Assert.Equal(0.2, jumps[0].Values["series.contactTimeS"]);
        Assert.False(jumps[0].Values.ContainsKey("crouchDepthM"));
        Assert.False(jumps[0].Values.ContainsKey("landingShockG.ankleLeft"));
        Assert.False(jumps[1].Values.ContainsKey("landingShockG.trunk"));
        Assert.Equal(0.01, jumps[0].Uncertainties["heightM"]);
        Assert.Equal(0.1, jumps[0].Uncertainties["landingShockG.trunk"]);
        Assert.Equal(["packet-gap"], jumps[0].Quality);
        Assert.Equal(("A", "leap"), (jumps[0].Grade, jumps[0].Form));
    }

    [Theory]
    [InlineData("not json", null, "text that is not JSON, at byte 2")]
    [InlineData("[1]", null, "[1]")]
    [InlineData("{\"athlete\":\"Amber Q\"}", "athlete", "\"Amber Q\"")]
    [InlineData("{\"athlete\":\"amber\",\"number\":1.5}", "number", "1.5")]
    [InlineData("{\"athlete\":\"amber\",\"number\":1,\"takeoffS\":1,\"peakS\":1.2,\"landingS\":1.4,\"flightTimeS\":0.4}", "heightM", "nothing")]
    [InlineData("{\"athlete\":\"amber\",\"number\":1,\"takeoffS\":1,\"peakS\":1.2,\"landingS\":1.4,\"flightTimeS\":null,\"heightM\":1}", "flightTimeS", "null")]
    [InlineData("{\"athlete\":\"amber\",\"number\":1,\"takeoffS\":2,\"peakS\":1.2,\"landingS\":1.4,\"flightTimeS\":0.4,\"heightM\":1}", "landingS", "1.4")]
    [InlineData("{" + Least + ",\"splitAngleDeg\":\"wide\"}", "splitAngleDeg", "\"wide\"")]
    [InlineData("{" + Least + ",\"landingShockG\":3}", "landingShockG", "3")]
    [InlineData("{" + Least + ",\"landingShockG\":{\"trunk\":true}}", "landingShockG.trunk", "true")]
    [InlineData("{" + Least + ",\"uncertainty\":{\"heightM\":-0.01}}", "uncertainty.heightM", "-0.01")]
    [InlineData("{" + Least + ",\"quality\":[3]}", "quality", "[3]")]
    public void A_wrong_line_is_named_with_its_key_and_what_was_found(string line, string? key, string found)
    {
        var path = _folder.Write("a.jsonl", "{" + Least + "}\n" + line + "\n");
        var fault = JumpRecordReader.Read(path, out _);
        Assert.NotNull(fault);
        Assert.Equal((path, 2L, key), (fault.File, fault.Line!.Value, fault.Column));
        Assert.Equal(found, fault.Found);
        Assert.NotEmpty(fault.Allowed);
    }

    [Fact]
    public void A_file_that_is_not_there_is_a_fault()
    {
        var fault = JumpRecordReader.Read(_folder.File("none.jsonl"), out var jumps);
        Assert.IsType<InputFault>(fault);
        Assert.Empty(jumps);
    }

    public void Dispose() => _folder.Dispose();
}

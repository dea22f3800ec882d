using System.Runtime.InteropServices;
using Saltograph.Service.Recordings;

namespace Saltograph.Fuzz.Targets;

/// <summary>Text of a recording. There is a recording or a fault with words; what is read is finite and of one length.</summary>
internal static class CsvTarget
{
    private static readonly RecordingReference Reference = new("fuzzed.csv", null);

    public static void Try(ReadOnlyMemory<byte> input)
    {
        MemoryMarshal.TryGetArray(input, out var bytes);
        using var stream = new MemoryStream(bytes.Array!, bytes.Offset, bytes.Count, writable: false);
        var fault = RecordingReader.Read(stream, Reference, null, out var recording);
        Catalogue.Must(fault is null == recording is not null, "a recording or a fault");
        if (recording is null)
        {
            Catalogue.Must(fault!.Found.Length > 0 && fault.Allowed.Length > 0 && fault.ToString().Length > 0, "found and allowed");
            return;
        }

        var rows = recording.TimesS.Length;
        Catalogue.Must(rows == recording.Lost.Length && rows == recording.Marks.Length && rows == recording.SpecificForcesSensorMps2.Length, "one entry for each row");
        Catalogue.Must(SampleRate.IsAccepted(recording.SampleRateHz), "a rate that is accepted");
        for (var i = 0; i < rows; i++)
        {
            var (force, rate) = (recording.SpecificForcesSensorMps2[i], recording.AngularRatesSensorRadps[i]);
            Catalogue.Must(double.IsFinite(force.X) && double.IsFinite(rate.Z) && (i == 0 || recording.TimesS[i] > recording.TimesS[i - 1]), "finite, later in each row");
        }
    }
}

using System.Text;
using System.Text.Json;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Api;

/// <summary>Writes all jumps of a filter as they are read, so that an export of any length needs the memory of one page.</summary>
internal sealed class JumpExport(JumpAnswers jumps)
{
    private const int Page = 500;

    // Unit in the name; the keys of the record, its objects laid flat.
    private static readonly string[] Columns =
    [
        "id", "session", "day", "apparatus", "landingClass", "athlete", "number", "takeoff", "peak", "landing", "form", "takeoffFoot", "landingFoot", "secondFootLagS", "flightTimeS", "heightM", "heightFlightTimeM",
        "heightTakeoffVelocityM", "trunkRiseM", "takeoffVelocityMps", "pushOffTimeS", "crouchDepthM", "turnPreparationDeg", "turnFlightDeg", "turnRecoveryDeg", "turnRateTakeoffDps",
        "turnRateTopDps", "turnRatePeakDps", "inertiaGrowth", "splitAngleDeg", "splitAngleAtPeakDeg", "splitHoldFraction", "landingShockG.trunk", "landingShockG.ankleLeft",
        "landingShockG.ankleRight", "shockAttenuationPercent", "shockRiseTimeS", "absorptionTimeS", "absorptionDepthM", "series.id", "series.position", "series.contactTimeS", "grade", "quality",
    ];

    /// <summary>CSV after RFC 4180: a header, CR LF, empty where not measured; words of <c>quality</c> with a space between.</summary>
    public async Task WriteCsvAsync(Stream to, JumpFilter filter, CancellationToken stop)
    {
        await using var text = new StreamWriter(to, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false), leaveOpen: true) { NewLine = "\r\n" };
        await text.WriteLineAsync(string.Join(',', Columns));
        await foreach (var row in jumps.AllAsync(filter with { Limit = Page, After = null }, stop))
        {
            var jump = JumpText.Element(row);
            await text.WriteLineAsync(string.Join(',', Columns.Select(column => Cell(jump, column))));
        }
    }

    /// <summary>JSON Lines: one flat object per jump, as <c>/jumps</c> gives it; LF.</summary>
    public async Task WriteLinesAsync(Stream to, JumpFilter filter, CancellationToken stop)
    {
        await foreach (var row in jumps.AllAsync(filter with { Limit = Page, After = null }, stop))
        {
            await to.WriteAsync(Line(row), stop);
        }
    }

    private static byte[] Line(JumpRow row)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes))
        {
            JumpText.Write(json, row);
        }

        bytes.WriteByte((byte)'\n');
        return bytes.ToArray();
    }

    private static string Cell(JsonElement jump, string column)
    {
        var value = jump;
        foreach (var key in column.Split('.'))
        {
            if (value.ValueKind != JsonValueKind.Object || !value.TryGetProperty(key, out value))
            {
                return "";
            }
        }

        return value.ValueKind switch
        {
            JsonValueKind.Null => "",
            JsonValueKind.Array => Quoted(string.Join(' ', value.EnumerateArray())),
            JsonValueKind.String => Quoted(value.GetString()!),
            _ => value.GetRawText(),
        };
    }

    private static string Quoted(string text) => text.AsSpan().ContainsAny("\",\r\n") ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;
}

using System.IO.Compression;
using System.Runtime.CompilerServices;
using System.Text;
using System.Text.Json;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Recordings;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Privacy;

/// <summary>Everything that is kept of one athlete, as a zip of JSON Lines and of her recordings: one file for each kind.</summary>
internal sealed class AthleteExport(HallStore store, AthleteNames names, AthleteKeys keys, HallConfiguration configuration)
{
    private const int PageSize = 1000;
    private const int MostAudit = 100_000;

    private static readonly JsonSerializerOptions Web = new(JsonSerializerDefaults.Web);

    /// <summary>Makes it in a file that is gone when it is closed, readable by the service's user only; stands at its beginning.</summary>
    public async Task<Stream> MakeAsync(string athlete, bool withName, CancellationToken stop)
    {
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.ReadWrite, Options = FileOptions.DeleteOnClose | FileOptions.Asynchronous };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        var file = new FileStream(Path.Combine(Path.GetTempPath(), Path.GetRandomFileName()), options);
        try
        {
            await WriteAsync(file, athlete, withName, stop);
            file.Position = 0;
            return file;
        }
        catch
        {
            await file.DisposeAsync();
            throw;
        }
    }

    private async Task WriteAsync(Stream to, string athlete, bool withName, CancellationToken stop)
    {
        var zip = new ZipArchive(to, ZipArchiveMode.Create, leaveOpen: true, Encoding.UTF8);
        await using (zip)
        {
            await LinesAsync(zip, "athlete", [new { athlete, name = withName ? await names.FindAsync(athlete, stop) : null }], stop);
            await using (var lines = Open(zip, "jumps"))
            {
                await foreach (var jump in JumpsAsync(athlete, stop))
                {
                    await lines.WriteAsync((jump.Record + "\n").AsMemory(), stop);
                }
            }

            await using (var lines = Open(zip, "courses"))
            {
                await foreach (var jump in JumpsAsync(athlete, stop))
                {
                    if (await store.Jumps.CurvesAsync(jump.Id, stop) is { } bytes)
                    {
                        await lines.WriteAsync((JsonSerializer.Serialize(JumpCurvesBody.Of(jump.Id, CurveBytes.Unpack(bytes)), Web) + "\n").AsMemory(), stop);
                    }
                }
            }

            await LinesAsync(zip, "landings", await store.Jumps.LandingsAsync(athlete, 0, long.MaxValue, stop), stop);
            await LinesAsync(zip, "trainings", await store.Sessions.OverlappingAsync(athlete, 0, long.MaxValue, stop), stop);
            await LinesAsync(zip, "plans", await store.Plans.OfDaysAsync(athlete, "0000-01-01", "9999-12-31", stop), stop);
            await LinesAsync(zip, "warnings", await store.Warnings.RaisedAsync(athlete, 0, long.MaxValue, int.MaxValue, stop), stop);
            await LinesAsync(zip, "sensors", await store.Sensors.OfAsync(athlete, 0, long.MaxValue, stop), stop);
            await LinesAsync(zip, "consent", (await store.People.ConsentsAsync(stop)).Where(consent => consent.Athlete == athlete), stop);
            await LinesAsync(zip, "who-looked", await store.People.AuditAsync(athlete, null, MostAudit, stop), stop);
            var folder = Path.Combine(configuration.Service.Recordings.Folder, athlete);
            var key = await keys.FindAsync(athlete, stop);
            foreach (var recording in RecordingFiles.All(Path.Combine(configuration.Service.Recordings.Folder, athlete)).Where(recording => recording is not { Header.IsSealed: true } || key is not null))
            {
                recording.Key = key;
                await using var into = await zip.CreateEntry($"recordings/{recording.Header!.OpenedUs}-1.cborseq").OpenAsync(stop);
                foreach (var piece in recording.Unsealed())
                {
                    await into.WriteAsync(piece, stop);
                }
            }
        }
    }

    private async IAsyncEnumerable<JumpRow> JumpsAsync(string athlete, [EnumeratorCancellation] CancellationToken stop)
    {
        var filter = new JumpFilter { Athlete = athlete, Limit = PageSize };
        string? next = null;
        do
        {
            var page = await store.Jumps.PageAsync(filter with { After = next }, stop);
            foreach (var jump in page.Jumps)
            {
                yield return jump;
            }

            next = page.Next;
        }
        while (next is not null);
    }

    private static StreamWriter Open(ZipArchive zip, string name) => new(zip.CreateEntry($"{name}.jsonl").Open(), new UTF8Encoding(false));

    private static async Task LinesAsync<T>(ZipArchive zip, string name, IEnumerable<T> rows, CancellationToken stop)
    {
        await using var lines = Open(zip, name);
        foreach (var row in rows)
        {
            await lines.WriteAsync((JsonSerializer.Serialize(row, Web) + "\n").AsMemory(), stop);
        }
    }
}

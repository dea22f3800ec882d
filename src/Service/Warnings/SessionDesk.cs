using System.Globalization;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>What staff enter about a training.</summary>
internal sealed record SessionEntry
{
    /// <summary><c>class</c>, <c>apparatus</c> or <c>run-through</c>; default <c>class</c>.</summary>
    public string Kind { get; init; } = SessionRow.ClassKind;

    /// <summary>Apparatus in hand: <c>rope</c>, <c>hoop</c>, <c>ball</c>, <c>clubs</c> or <c>ribbon</c>; null for none.</summary>
    public string? Apparatus { get; init; }

    /// <summary>Notes, up to 2000 characters; null for none. No names.</summary>
    public string? Notes { get; init; }

    /// <summary>Perceived exertion, 0 to 10; null when not entered.</summary>
    public double? Exertion { get; init; }

    /// <summary>Minutes that the exertion counts for, above 0 to 600; null: from open to close.</summary>
    public double? Minutes { get; init; }
}

/// <summary>Opens, describes and closes trainings for staff. A training that activity has opened gives way to one of staff.</summary>
internal sealed class SessionDesk(HallStore store, HallConfiguration configuration, WarningDesk warnings, TimeProvider time) : IDisposable
{
    /// <summary>Kinds of trainings.</summary>
    public static readonly IReadOnlyList<string> Kinds = [SessionRow.ClassKind, SessionRow.ApparatusKind, SessionRow.RunThroughKind];

    /// <summary>The five apparatus of rhythmic gymnastics (FIG Code of Points).</summary>
    public static readonly IReadOnlyList<string> AllApparatus = ["rope", "hoop", "ball", "clubs", "ribbon"];
    private readonly SemaphoreSlim _gate = new(1);

    /// <summary>Opens a training now.</summary>
    /// <returns>Its id, or why it was refused, and then nothing was done.</returns>
    public async Task<(string? Id, Fault? Fault)> OpenAsync(string athlete, string who, SessionEntry entry, CancellationToken stop)
    {
        if (!configuration.Roster.Sensors.Any(worn => worn.Athlete == athlete))
        {
            return (null, new(nameof(athlete), $"'{athlete}'", "an athlete of the roster"));
        }

        if (Fault(who, entry) is { } fault)
        {
            return (null, fault);
        }

        await _gate.WaitAsync(stop);
        try
        {
            var open = await store.Sessions.OpenAsync(athlete, stop);
            if (open.FirstOrDefault(session => session.OpenedBy != SessionRow.Activity) is { } other)
            {
                return (null, new(nameof(athlete), $"'{athlete}' with training {other.Id} open", "an athlete without an open training of staff"));
            }

            var nowUs = HallClock.Now(time).Microseconds;
            var id = string.Create(CultureInfo.InvariantCulture, $"{athlete}-{nowUs}-staff");
            await store.WriteAsync(
                async transaction =>
                {
                    await transaction.AddAthleteAsync(athlete, nowUs);
                    foreach (var session in open)
                    {
                        await transaction.CloseSessionAsync(session.Id, nowUs, who);
                    }

                    await transaction.OpenSessionAsync(Row(id, athlete, nowUs, who, entry));
                },
                stop);
            return (id, null);
        }
        finally
        {
            _gate.Release();
        }
    }

    /// <summary>Changes what is entered about a training, open or closed.</summary>
    /// <returns>Why it was refused; null when done.</returns>
    public async Task<Fault?> DescribeAsync(string id, string who, SessionEntry entry, CancellationToken stop)
    {
        if (Fault(who, entry) is { } fault)
        {
            return fault;
        }

        var isThere = await store.WriteAsync(transaction => transaction.DescribeSessionAsync(Row(id, "", 0, who, entry)), stop);
        return isThere ? null : new(nameof(id), $"'{id}'", "the id of a training");
    }

    /// <summary>Closes a training now. What is measured afterwards belongs to none until the next begins.</summary>
    /// <returns>Why it was refused; null when done.</returns>
    public async Task<Fault?> CloseAsync(string id, string who, CancellationToken stop)
    {
        if (Fault(who, new()) is { } fault)
        {
            return fault;
        }

        if (await store.Sessions.FindAsync(id, stop) is not { } session)
        {
            return new(nameof(id), $"'{id}'", "the id of a training");
        }

        if (!await store.WriteAsync(transaction => transaction.CloseSessionAsync(id, HallClock.Now(time).Microseconds, who), stop))
        {
            return new(nameof(id), $"'{id}', closed already", "the id of an open training");
        }

        await warnings.EndSessionAsync(new(session.Athlete), stop);
        return null;
    }

    /// <inheritdoc/>
    public void Dispose() => _gate.Dispose();

    private static SessionRow Row(string id, string athlete, long openedUs, string who, SessionEntry entry) => new()
    {
        Id = id,
        Athlete = athlete,
        OpenedUs = openedUs,
        OpenedBy = who,
        Kind = entry.Kind,
        Apparatus = entry.Apparatus,
        Notes = entry.Notes,
        Exertion = entry.Exertion,
        Minutes = entry.Minutes,
    };

    /// <summary>What is wrong with what staff enter; null when nothing is.</summary>
    internal static Fault? Fault(string who, SessionEntry entry) =>
        !IdText.IsValid(who) || who == SessionRow.Activity ? new(nameof(who), $"'{who}'", $"{IdText.Allowed}, other than {SessionRow.Activity}")
        : !Kinds.Contains(entry.Kind, StringComparer.Ordinal) ? new("kind", $"'{entry.Kind}'", string.Join(", ", Kinds))
        : entry.Apparatus is { } apparatus && !AllApparatus.Contains(apparatus, StringComparer.Ordinal) ? new("apparatus", $"'{apparatus}'", string.Join(", ", AllApparatus))
        : entry.Notes is { Length: > 2000 } notes ? new("notes", $"{notes.Length} characters", "up to 2000 characters")
        : entry.Exertion is { } exertion && !(exertion is >= 0 and <= 10) ? new("exertion", Text(exertion), "0 to 10")
        : entry.Minutes is { } minutes && !(minutes is > 0 and <= 600) ? new("minutes", Text(minutes), "above 0 to 600")
        : null;

    private static string Text(double value) => value.ToString(CultureInfo.InvariantCulture);
}

using Saltograph.Load;
using Saltograph.Service.Warnings;
using Saltograph.Store.Queries;

namespace Saltograph.Service.Api;

/// <summary>A query for jumps.</summary>
internal static class JumpQuery
{
    /// <summary>Most jumps of one page.</summary>
    public const int LargestPage = 1000;

    private static readonly string[] Feet = ["left", "right", "both"];

    /// <summary>What narrows it.</summary>
    public static readonly IReadOnlyList<QueryKey> Filters =
    [
        new("athlete", QueryKind.Id, "Pseudonym."),
        new("session", QueryKind.Text, "Id of a training."),
        new("form", QueryKind.Word, "Which feet leave and land.") { Words = ["leap", "hop", "jump", "assemble", "sissonne"] },
        new("takeoffFoot", QueryKind.Word, "Foot of the last contact.") { Words = Feet },
        new("landingFoot", QueryKind.Word, "Foot of the first contact.") { Words = Feet },
        new("landingClass", QueryKind.Word, "Class of the landing among her own of the same site, form and leg.") { Words = [.. Enum.GetValues<LandingClass>().Select(WarningJson.Word)] },
        new("apparatus", QueryKind.Word, "Apparatus entered for the training.") { Words = SessionDesk.AllApparatus },
        new("from", QueryKind.Time, "Landings from this instant on, RFC 3339 with offset."),
        new("before", QueryKind.Time, "Landings before this instant, RFC 3339 with offset."),
        new("heightFromM", QueryKind.Number, "Height from this on, m.") { Least = 0, Largest = 3 },
        new("heightBelowM", QueryKind.Number, "Height below this, m.") { Least = 0, Largest = 3 },
        new("shockFromG", QueryKind.Number, "Shock of the landing ankle from this on, g; leaves out jumps without one. A saturated one counts by its lower bound.") { Least = 0, Largest = 400 },
        new("shockBelowG", QueryKind.Number, "Shock of the landing ankle below this, g; leaves out jumps without one.") { Least = 0, Largest = 400 },
        new("order", QueryKind.Word, "By landing; default oldest-first.") { Words = ["oldest-first", "newest-first"] },
    ];

    /// <summary>What a page takes.</summary>
    public static readonly QueryKeys Page = new([
        .. Filters,
        new("limit", QueryKind.Whole, "Most jumps of one page, default 100.") { Least = 1, Largest = LargestPage },
        new("after", QueryKind.Text, "Where to go on: next of the page before, with the same filters and order. It stays valid when jumps are added."),
    ]);

    /// <summary>Reads a page's query; faults are in the reader.</summary>
    public static JumpFilter OfPage(QueryReader query)
    {
        var after = query.Text("after");
        if (after is not null && !JumpQueries.IsPlace(after))
        {
            query.Refuse(new("after", $"'{after}'", "next of the page before"));
        }

        return Of(query) with { Limit = (int)(query.Number("limit") ?? 100), After = after };
    }

    /// <summary>Reads what narrows it; faults are in the reader.</summary>
    public static JumpFilter Of(QueryReader query)
    {
        var filter = new JumpFilter
        {
            Athlete = query.Text("athlete"),
            Session = query.Text("session"),
            Form = query.Text("form"),
            TakeoffFoot = query.Text("takeoffFoot"),
            LandingFoot = query.Text("landingFoot"),
            LandingClass = query.Text("landingClass"),
            Apparatus = query.Text("apparatus"),
            FromUs = query.TimeUs("from"),
            BeforeUs = query.TimeUs("before"),
            HeightFromM = query.Number("heightFromM"),
            HeightBelowM = query.Number("heightBelowM"),
            ShockFromG = query.Number("shockFromG"),
            ShockBelowG = query.Number("shockBelowG"),
            NewestFirst = query.Text("order") == "newest-first",
        };
        Rising(query, filter.FromUs, filter.BeforeUs, "before", "from");
        Rising(query, filter.HeightFromM, filter.HeightBelowM, "heightBelowM", "heightFromM");
        Rising(query, filter.ShockFromG, filter.ShockBelowG, "shockBelowG", "shockFromG");
        return filter;
    }

    private static void Rising<T>(QueryReader query, T? from, T? below, string key, string lower)
        where T : struct, IComparable<T>
    {
        if (from is { } least && below is { } end && least.CompareTo(end) >= 0)
        {
            query.Refuse(new(key, $"not above {lower}", $"more than {lower}"));
        }
    }
}

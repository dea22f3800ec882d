using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;
using Saltograph.Service.Warnings;
using Saltograph.Store.Rows;

namespace Saltograph.Fuzz.Targets;

/// <summary>
/// Bodies and queries of the HTTP interface, read as the endpoints read them and checked as they check them, as far as no store is needed. The first byte says which body,
/// the second which content type; the rest is the body. There is an answer or a problem, never an exception.
/// </summary>
internal sealed class BodyTarget : IDisposable
{
    /// <summary>What the first byte means, in order.</summary>
    public static readonly string[] Kinds = ["acknowledge", "shelve", "silence", "plan", "open-session", "describe-session", "close-session", "person", "token", "consent", "name", "rules", "jumps-query"];

    private static readonly string[] ContentTypes =
        ["application/json", "application/json; charset=utf-8", "application/json; charset=utf-16", "application/json; charset=nothing", "application/json; charset=utf-7", "application/problem+json", "text/plain", "application/json;;", "\"", ""];

    private static readonly Load.WarningEngine Engine = new(Load.WarningRules.Proposed);
    private static readonly HallDays Days = new(TimeZoneInfo.Utc);

    private readonly ServiceProvider _services;

    public BodyTarget()
    {
        var services = new ServiceCollection();
        ApiEndpoints.Add(services);
        _services = services.BuildServiceProvider();
    }

    public void Dispose() => _services.Dispose();

    public void Try(ReadOnlyMemory<byte> input)
    {
        if (input.Length < 2)
        {
            return;
        }

        var (kind, type) = (Kinds[input.Span[0] % Kinds.Length], ContentTypes[Math.Min(input.Span[1] % 32, ContentTypes.Length - 1)]);
        MemoryMarshal.TryGetArray(input[2..], out var bytes);
        if (kind == "jumps-query")
        {
            Query(Encoding.Latin1.GetString(bytes));
            return;
        }

        var context = new DefaultHttpContext { RequestServices = _services };
        context.Request.ContentType = type;
        context.Request.Body = new MemoryStream(bytes.Array!, bytes.Offset, bytes.Count, writable: false);
        _ = kind switch
        {
            "acknowledge" => Read<StaffEntry>(context, entry => Engine.Acknowledge("none", entry.Who, entry.Why, Engine.Now).Fault),
            "shelve" => Read<ShelfEntry>(context, entry => entry.Until is { } text && QueryReader.TryTime(text, out _) ? Engine.Acknowledge("none", entry.Who, entry.Why, Engine.Now).Fault : new("until", $"'{entry.Until}'", "a time")),
            "silence" => Read<ServiceEntry>(context, entry => Engine.Acknowledge("none", entry.Who, entry.Why, Engine.Now).Fault),
            "plan" => Read<PlanEntry>(context, Plan),
            "open-session" => Read<SessionBegin>(context, entry => SessionDesk.Fault(entry.Who, entry.Entry())),
            "describe-session" => Read<SessionNote>(context, entry => SessionDesk.Fault(entry.Who, entry.Entry())),
            "close-session" => Read<SessionEnd>(context, entry => SessionDesk.Fault(entry.Who, new())),
            "person" => Read<PersonEntry>(context, entry => First(PeopleDesk.Faults("somebody", entry))),
            "token" => Read<TokenEntry>(context, entry => First(TokenEndpoints.Faults(entry, scope => scope.Length != 4))),
            "consent" => Read<ConsentEntry>(context, entry => ConsentDesk.Fault(entry) is { } fault ? First([fault]) : null),
            "name" => Read<NameBody>(context, entry => PrivacyEndpoints.Fault("amber", entry) is { } fault ? First([fault]) : null),
            _ => Read<JsonElement>(context, Rules),
        };
    }

    private static bool Read<T>(HttpContext context, Func<T, Load.Fault?> check)
    {
        var reading = JsonBody.ReadAsync<T>(context.Request, "an object", default);
        Catalogue.Must(reading.IsCompleted, "a body in memory is read at once");
        var (body, problem) = reading.GetAwaiter().GetResult();
        Catalogue.Must(body is null || body is JsonElement { ValueKind: JsonValueKind.Undefined } == problem is not null, "a body or a problem");
        if (problem is null && check(body!) is { } fault)
        {
            Catalogue.Must(fault.Found.Length > 0 && fault.Allowed.Length > 0, "found and allowed");
        }

        return true;
    }

    private static Load.Fault? Plan(PlanEntry entry)
    {
        if (entry.Limits.ValueKind != JsonValueKind.Object || PlanAnswers.LimitsText(entry) is not { } limits)
        {
            return null; // refused before
        }

        return DayPlans.Read(
            new() { Athlete = "amber", Day = "2027-01-15", Kind = PlanRow.PlanKind, Limits = limits, EnteredUs = 0, EnteredBy = "coach" }, Days, out _);
    }

    private static Load.Fault? Rules(JsonElement text)
    {
        var faults = WarningRulesFile.Read(text, out var rules);
        Catalogue.Must(faults.Count > 0 == rules is null, "rules or faults");
        return faults.Count > 0 ? faults[0] : null;
    }

    private static void Query(string text)
    {
        var query = new QueryReader(new QueryCollection(QueryHelpers.ParseQuery(text)), JumpQuery.Page);
        var filter = JumpQuery.OfPage(query);
        Catalogue.Must(query.Faults.Count > 0 || filter.Limit is >= 1 and <= JumpQuery.LargestPage, "a page within its limit");
        Catalogue.Must(query.Faults.All(fault => fault.ToString().Length < 4000), "a fault of one line");
    }

    private static Load.Fault? First(IEnumerable<ApiFault> faults) => faults.Select(fault => new Load.Fault(fault.Where, fault.Found, fault.Allowed)).FirstOrDefault();
}

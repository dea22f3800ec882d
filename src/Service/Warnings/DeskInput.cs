using System.Text.Json;
using System.Text.Json.Serialization;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>What the engine was given, as it is kept: given again in the same order and at the same times, it comes to the same.</summary>
/// <param name="Kind">One of the constants.</param>
/// <param name="Athlete">Pseudonym; empty for what names a warning.</param>
internal sealed record DeskInput(string Kind, string Athlete)
{
    public const string JumpKind = "jump", LimitsKind = "limits", ReportKind = "report", SessionEndKind = "session-end", AcknowledgeKind = "acknowledge",
        ShelveKind = "shelve", UnshelveKind = "unshelve", OutOfServiceKind = "out-of-service", IntoServiceKind = "into-service";

    /// <summary>Kinds that count for ever: a rule stays out of service until it is put back.</summary>
    public static readonly IReadOnlyList<string> LastingKinds = [OutOfServiceKind, IntoServiceKind];

    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web) { DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull };

    /// <summary>Id of a jump.</summary>
    public string? Jump { get; init; }

    /// <summary>Apparatus of a jump, as it was known when the jump was judged; what staff enter later does not change what was judged.</summary>
    public string? Apparatus { get; init; }

    /// <summary>Id of a warning.</summary>
    public string? Warning { get; init; }

    /// <summary>Id of a rule.</summary>
    public string? Rule { get; init; }

    /// <summary>Who gave a command.</summary>
    public string? Who { get; init; }

    /// <summary>Why.</summary>
    public string? Why { get; init; }

    /// <summary>End of a shelving, us since 1970.</summary>
    public long? UntilUs { get; init; }

    /// <summary>Limits of a day.</summary>
    public LimitFigures? Limits { get; init; }

    /// <summary>Figure of a sensor.</summary>
    public SensorFigure? Figure { get; init; }

    /// <summary>The input of a row.</summary>
    public static DeskInput Of(WarningInputRow row) => JsonSerializer.Deserialize<Body>(row.Body, Json)!.With(row.Kind, row.Athlete);

    /// <summary>The row of an input.</summary>
    public WarningInputRow ToRow(long number, SampleTime at) => new()
    {
        Number = number,
        AtUs = at.Microseconds,
        Kind = Kind,
        Athlete = Athlete,
        Body = JsonSerializer.Serialize(new Body(Jump, Apparatus, Warning, Rule, Who, Why, UntilUs, Limits, Figure), Json),
    };

    /// <summary>Gives it to the engine at the time that the engine has reached.</summary>
    /// <param name="engine">The engine.</param>
    /// <param name="jump">The jump, for an input of that kind.</param>
    public CommandResult Apply(WarningEngine engine, CountedJump? jump) => Kind switch
    {
        JumpKind => new(null, jump is null ? [] : engine.Count(jump with { Apparatus = Apparatus }).Changes),
        LimitsKind => engine.SetLimits(Limits!.ToLimits(new(Athlete)), engine.Now),
        ReportKind => new(null, engine.Report(new(new(Athlete), new(Figure!.Sensor), Figure.Fault, Figure.Value, engine.Now))),
        SessionEndKind => new(null, engine.EndSession(new(Athlete), engine.Now)),
        AcknowledgeKind => engine.Acknowledge(Warning!, Who!, Why!, engine.Now),
        ShelveKind => engine.Shelve(Warning!, new(UntilUs!.Value), Who!, Why!, engine.Now),
        UnshelveKind => engine.Unshelve(Warning!, Who!, Why!, engine.Now),
        OutOfServiceKind => engine.TakeOutOfService(Rule!, new(Athlete), Who!, Why!, engine.Now),
        IntoServiceKind => engine.PutBack(Rule!, new(Athlete), Who!, Why!, engine.Now),
        _ => new(null, []), // of a later version of the program
    };

    private sealed record Body(string? Jump, string? Apparatus, string? Warning, string? Rule, string? Who, string? Why, long? UntilUs, LimitFigures? Limits, SensorFigure? Figure)
    {
        public DeskInput With(string kind, string athlete) => new(kind, athlete)
        {
            Jump = Jump,
            Apparatus = Apparatus,
            Warning = Warning,
            Rule = Rule,
            Who = Who,
            Why = Why,
            UntilUs = UntilUs,
            Limits = Limits,
            Figure = Figure,
        };
    }
}

/// <summary>A figure of a sensor.</summary>
internal sealed record SensorFigure(string Sensor, SensorFaultKind Fault, double Value);

/// <summary>Limits of a day.</summary>
internal sealed record LimitFigures(LimitSource Source, long FromUs, long ToUs, int? Jumps, int? LeftLandings, int? RightLandings, double? HeightM, double? ShockG)
{
    public static LimitFigures Of(DayLimits limits) => new(
        limits.Source, limits.From.Microseconds, limits.To.Microseconds, limits.Jumps, limits.LeftLandings, limits.RightLandings, limits.HeightM, limits.ShockG);

    public DayLimits ToLimits(AthleteId athlete) => new(athlete, Source, new(FromUs), new(ToUs))
    {
        Jumps = Jumps,
        LeftLandings = LeftLandings,
        RightLandings = RightLandings,
        HeightM = HeightM,
        ShockG = ShockG,
    };
}

using System.Collections.Frozen;
using Saltograph.Imu;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>File <c>roster.json</c>: which sensor sits on which athlete and where.</summary>
internal sealed record RosterOptions
{
    /// <summary>One entry for each sensor; default none.</summary>
    public IReadOnlyList<RosterEntry> Sensors { get; init; } = [];
}

/// <summary>One sensor of the roster.</summary>
internal sealed record RosterEntry
{
    /// <summary>The sensor's id in its topics; 1 to 32 characters a-z, 0-9 or -; no default.</summary>
    public required string Sensor { get; init; }

    /// <summary>The athlete's pseudonym, never a name; 1 to 32 characters a-z, 0-9 or -; no default.</summary>
    public required string Athlete { get; init; }

    /// <summary><c>trunk</c>, <c>ankle-left</c> or <c>ankle-right</c>; no default.</summary>
    public required string Site { get; init; }
}

/// <summary>The roster ready for look-up.</summary>
internal sealed class Roster
{
    private readonly FrozenDictionary<string, (SensorId Sensor, AthleteId Athlete)> _bySensor;
    private readonly FrozenDictionary<AthleteId, FrozenDictionary<SensorId, Site>> _byAthlete;

    /// <summary>Takes options without faults (see <see cref="Faults"/>).</summary>
    public Roster(RosterOptions options)
    {
        _bySensor = options.Sensors.ToFrozenDictionary(
            entry => entry.Sensor,
            entry => (new SensorId(entry.Sensor), new AthleteId(entry.Athlete)),
            StringComparer.Ordinal);
        _byAthlete = options.Sensors.GroupBy(entry => entry.Athlete, StringComparer.Ordinal).ToFrozenDictionary(
            group => new AthleteId(group.Key),
            group => group.ToFrozenDictionary(entry => new SensorId(entry.Sensor), entry => SiteOf(entry)));
    }

    /// <summary>Everyone on the roster.</summary>
    public IReadOnlyCollection<AthleteId> Athletes => _byAthlete.Keys;

    /// <summary>Who wears a sensor; false when it is on nobody.</summary>
    public bool TryFind(SensorId sensor, out AthleteId athlete)
    {
        var found = _bySensor.TryGetValue(sensor.Value, out var entry);
        athlete = entry.Athlete;
        return found;
    }

    /// <summary>An athlete's sensors and their sites.</summary>
    public IReadOnlyDictionary<SensorId, Site> SensorsOf(AthleteId athlete) => _byAthlete[athlete];

    /// <summary>Every fault of the options; none when they may be used.</summary>
    /// <param name="options">The options.</param>
    /// <param name="file">The file they came from, for the messages.</param>
    public static IEnumerable<InputFault> Faults(RosterOptions options, string file)
    {
        var sensors = new HashSet<string>(StringComparer.Ordinal);
        var places = new HashSet<(string, string)>();
        for (var i = 0; i < options.Sensors.Count; i++)
        {
            var (entry, key) = (options.Sensors[i], $"sensors[{i}]");
            if ((RosterEntry?)entry is null)
            {
                yield return new(file, "null", "an object with sensor, athlete and site", null, key);
                continue;
            }

            if (!IdText.IsValid(entry.Sensor))
            {
                yield return new(file, $"'{entry.Sensor}'", IdText.Allowed, null, $"{key}.sensor");
            }

            if (!IdText.IsValid(entry.Athlete))
            {
                yield return new(file, $"'{entry.Athlete}'", IdText.Allowed, null, $"{key}.athlete");
            }

            if (!Sites.TryParse(entry.Site, out _))
            {
                yield return new(file, $"'{entry.Site}'", "trunk, ankle-left or ankle-right", null, $"{key}.site");
            }

            if (!sensors.Add(entry.Sensor))
            {
                yield return new(file, $"'{entry.Sensor}' a second time", "each sensor once", null, $"{key}.sensor");
            }

            if (!places.Add((entry.Athlete, entry.Site)))
            {
                yield return new(file, $"a second sensor on {entry.Athlete} at {entry.Site}", "one sensor for each site of an athlete", null, $"{key}.site");
            }
        }

        foreach (var fault in WithoutTrunk(options, file))
        {
            yield return fault;
        }
    }

    // Flight, height and turns are the trunk's: without it nothing of the athlete could be measured, and nothing would say why.
    private static IEnumerable<InputFault> WithoutTrunk(RosterOptions options, string file) => options.Sensors
        .Select((entry, index) => (Entry: (RosterEntry?)entry, Index: index))
        .Where(item => item.Entry is not null)
        .GroupBy(item => item.Entry!.Athlete, StringComparer.Ordinal)
        .Where(athlete => athlete.All(item => Sites.TryParse(item.Entry!.Site, out var site) && site != Imu.Site.Trunk))
        .Select(athlete => new InputFault(
            file,
            $"'{athlete.Key}' with {string.Join(" and ", athlete.Select(item => item.Entry!.Site))} only",
            "a trunk sensor for each athlete",
            null,
            $"sensors[{athlete.First().Index}].athlete"));

    private static Site SiteOf(RosterEntry entry) => Sites.TryParse(entry.Site, out var site)
        ? site
        : throw new ArgumentException($"Site '{entry.Site}' is not one; allowed: trunk, ankle-left or ankle-right.", nameof(entry));
}

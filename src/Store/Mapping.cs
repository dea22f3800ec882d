using Dapper;

namespace Saltograph.Store;

/// <summary>Column <c>flight_time_s</c> is property <c>FlightTimeS</c>.</summary>
internal static class Mapping
{
    public static void Begin() => DefaultTypeMap.MatchNamesWithUnderscores = true;
}

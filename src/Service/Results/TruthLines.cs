using System.Text.Json;
using System.Text.Json.Serialization;
using Saltograph.Imu;

namespace Saltograph.Service.Results;

/// <summary>What really happened in a simulation as JSON Lines: one object per line, every key always there.</summary>
internal static class TruthLines
{
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        Converters = { new AthleteConverter(), new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
    };

    /// <summary>Writes a file anew, UTF-8 without a byte order mark, line feeds.</summary>
    public static async Task WriteAsync<T>(string path, IEnumerable<T> facts, CancellationToken stop)
    {
        await using var file = File.Create(path);
        foreach (var fact in facts)
        {
            await JsonSerializer.SerializeAsync(file, fact, Options, stop);
            file.WriteByte((byte)'\n');
        }
    }

    private sealed class AthleteConverter : JsonConverter<AthleteId>
    {
        public override AthleteId Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => new(reader.GetString()!);

        public override void Write(Utf8JsonWriter writer, AthleteId value, JsonSerializerOptions options) => writer.WriteStringValue(value.Value);
    }
}

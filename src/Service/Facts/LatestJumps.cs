using System.Text.Json;
using Saltograph.Service.Durability;

namespace Saltograph.Service.Facts;

/// <summary>The last jumps of the hall, for the page that shows them.</summary>
internal sealed class LatestJumps(int capacity) : IFactSink
{
    private readonly Lock _gate = new();
    private readonly Queue<string> _jumps = new();

    /// <inheritdoc/>
    public string Name => "latest-jumps";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        if (fact is JumpMeasured jump)
        {
            Add(FactRows.Record(jump));
        }

        return ValueTask.CompletedTask;
    }

    /// <summary>Adds a jump's record, JSON.</summary>
    public void Add(string record)
    {
        lock (_gate)
        {
            if (_jumps.Count == capacity)
            {
                _jumps.Dequeue();
            }

            _jumps.Enqueue(record);
        }
    }

    /// <summary>Writes them as a JSON array, newest first.</summary>
    public void Write(Utf8JsonWriter json)
    {
        string[] jumps;
        lock (_gate)
        {
            jumps = [.. _jumps];
        }

        json.WriteStartArray();
        for (var i = jumps.Length - 1; i >= 0; i--)
        {
            json.WriteRawValue(jumps[i]);
        }

        json.WriteEndArray();
    }
}

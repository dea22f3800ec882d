namespace Saltograph.Testing;

/// <summary>A defect behind five bytes that chance alone would need 10^12 inputs for: the driver has to find it byte by byte.</summary>
public static class PlantedDefect
{
    /// <summary>Throws when the bytes begin with the five.</summary>
    public static void Try(ReadOnlyMemory<byte> input)
    {
        var bytes = input.Span;
        if (bytes.Length > 4 && bytes[0] == 'S' && At(bytes, 1, 'a') && At(bytes, 2, 'l') && At(bytes, 3, 't') && At(bytes, 4, 'o'))
        {
            throw new InvalidDataException("planted");
        }
    }

    private static bool At(ReadOnlySpan<byte> bytes, int place, char wanted)
    {
        if (bytes[place] != wanted)
        {
            return false;
        }

        return true;
    }
}

using System.Buffers.Binary;

namespace Saltograph.Fuzz;

/// <summary>Heads of CBOR data items (RFC 8949 section 3) in bytes that need not be well-formed.</summary>
internal sealed class CborHeads
{
    private const int Most = 256;

    private readonly Head[] _found = new Head[Most];

    /// <summary>A head.</summary>
    /// <param name="At">Where it begins.</param>
    /// <param name="Length">Its length, 1 to 9.</param>
    /// <param name="Content">Bytes of a string behind it; 0 for other types.</param>
    /// <param name="Argument">Its argument.</param>
    internal readonly record struct Head(int At, int Length, int Content, ulong Argument);

    /// <summary>How many were found.</summary>
    public int Count { get; private set; }

    /// <summary>One of them.</summary>
    public Head this[int index] => _found[index];

    /// <summary>Walks over the bytes, from head to head, as far as they look like CBOR.</summary>
    public void Find(ReadOnlySpan<byte> bytes)
    {
        Count = 0;
        for (var at = 0; at < bytes.Length && Count < Most;)
        {
            var wide = Wide(bytes[at] & 31);
            if (at + 1 + wide > bytes.Length)
            {
                return;
            }

            var argument = wide switch
            {
                0 => (ulong)(bytes[at] & 31),
                1 => bytes[at + 1],
                2 => BinaryPrimitives.ReadUInt16BigEndian(bytes[(at + 1)..]),
                4 => BinaryPrimitives.ReadUInt32BigEndian(bytes[(at + 1)..]),
                _ => BinaryPrimitives.ReadUInt64BigEndian(bytes[(at + 1)..]),
            };
            var isString = bytes[at] >> 5 is 2 or 3 && (bytes[at] & 31) < 28;
            var content = isString ? (int)Math.Min(argument, (ulong)(bytes.Length - at - 1 - wide)) : 0;
            _found[Count++] = new(at, 1 + wide, content, argument);
            at += 1 + wide + content;
        }
    }

    /// <summary>Writes a head; returns its length.</summary>
    /// <param name="into">At least 9 bytes.</param>
    /// <param name="major">Major type, 0 to 7.</param>
    /// <param name="argument">Argument.</param>
    /// <param name="wide">Least width of the argument: 0 (in the first byte when it fits), 1, 2, 4 or 8 bytes.</param>
    public static int Write(Span<byte> into, int major, ulong argument, int wide)
    {
        var needed = argument switch { < 24 => 0, <= byte.MaxValue => 1, <= ushort.MaxValue => 2, <= uint.MaxValue => 4, _ => 8 };
        wide = Math.Max(wide, needed);
        into[0] = (byte)((major << 5) | wide switch { 0 => (int)argument, 1 => 24, 2 => 25, 4 => 26, _ => 27 });
        for (var i = 0; i < wide; i++)
        {
            into[1 + i] = (byte)(argument >> (8 * (wide - 1 - i)));
        }

        return 1 + wide;
    }

    private static int Wide(int additional) => additional switch { 24 => 1, 25 => 2, 26 => 4, 27 => 8, _ => 0 };
}

namespace Saltograph.Fuzz;

/// <summary>Changes an input at random: bits, bytes, border values, pieces cut, doubled, moved, taken from another input, words of the target's language, items of CBOR.</summary>
/// <param name="longest">Longest input, bytes.</param>
/// <param name="words">Words of the target's language.</param>
/// <param name="isCbor">Whether inputs are CBOR.</param>
/// <param name="random">Where chance comes from.</param>
internal sealed class Mutator(int longest, IReadOnlyList<byte[]> words, bool isCbor, Random random)
{
    private static readonly byte[] Borders = [0x00, 0x01, 0x17, 0x18, 0x1B, 0x1F, 0x20, 0x3B, 0x40, 0x5F, 0x7F, 0x80, 0x9F, 0xA0, 0xBF, 0xC0, 0xE0, 0xF6, 0xF7, 0xF9, 0xFB, 0xFC, 0xFE, 0xFF];

    private static readonly ulong[] Numbers =
    [
        0, 1, 2, 3, 5, 8, 9, 10, 11, 12, 13, 22, 23, 24, 31, 32, 77, 100, 101, 127, 128, 255, 256, 511, 512, 513, 1000, 6144, 6156, 16384, 32767, 32768, 65535, 65536, 1 << 20, int.MaxValue, 1UL << 31,
        uint.MaxValue, 1UL << 32, 1UL << 52, 1UL << 53, (1UL << 62) - 1, 1UL << 62, (1UL << 62) + 1, long.MaxValue, 1UL << 63, ulong.MaxValue,
    ];

    private static readonly int[] Widths = [0, 0, 0, 1, 2, 4, 8];

    private readonly byte[] _bytes = new byte[longest];
    private readonly byte[] _piece = new byte[longest];
    private readonly CborHeads _heads = new();
    private int _length;

    /// <summary>A changed input; valid until the next.</summary>
    /// <param name="from">What is changed.</param>
    /// <param name="other">Where pieces are taken from.</param>
    public ReadOnlyMemory<byte> Change(ReadOnlySpan<byte> from, ReadOnlySpan<byte> other)
    {
        _length = Math.Min(from.Length, longest);
        from[.._length].CopyTo(_bytes);
        for (var changes = 1 << random.Next(4); changes > 0; changes--)
        {
            if (isCbor && random.Next(2) == 0)
            {
                ChangeItem();
            }
            else if (words.Count > 0 && random.Next(3) == 0)
            {
                var word = words[random.Next(words.Count)];
                var at = Place();
                Replace(at, random.Next(2) == 0 ? 0 : Math.Min(random.Next(1, word.Length + 2), _length - at), word);
            }
            else
            {
                ChangeBytes(other);
            }
        }

        return _bytes.AsMemory(0, _length);
    }

    private void ChangeBytes(ReadOnlySpan<byte> other)
    {
        var at = Place();
        var rest = _length - at;
        if (rest == 0)
        {
            Replace(at, 0, [(byte)random.Next(256)]);
            return;
        }

        var piece = Math.Min(1 << random.Next(7), rest);
        switch (random.Next(9))
        {
            case 0:
                _bytes[at] ^= (byte)(1 << random.Next(8));
                break;
            case 1:
                _bytes[at] = (byte)random.Next(256);
                break;
            case 2:
                _bytes[at] = Borders[random.Next(Borders.Length)];
                break;
            case 3:
                _bytes[at] += (byte)(random.Next(71) - 35);
                break;
            case 4:
                Replace(at, piece, []);
                break;
            case 5:
                _bytes.AsSpan(at, piece).CopyTo(_piece);
                Replace(Place(), 0, _piece.AsSpan(0, piece));
                break;
            case 6:
                Replace(at, 0, [(byte)random.Next(256)]);
                break;
            case 7 when other.Length > 0:
                var begin = random.Next(other.Length);
                Replace(at, random.Next(2) == 0 ? 0 : piece, other.Slice(begin, Math.Min(1 << random.Next(8), other.Length - begin)));
                break;
            case 8 when random.Next(4) == 0:
                _length = at;
                break;
            default:
                _bytes[at] = (byte)Numbers[random.Next(Numbers.Length)];
                break;
        }
    }

    private void ChangeItem()
    {
        _heads.Find(_bytes.AsSpan(0, _length));
        if (_heads.Count == 0)
        {
            return;
        }

        var head = _heads[random.Next(_heads.Count)];
        var major = _bytes[head.At] >> 5;
        var whole = head.Length + head.Content;
        Span<byte> made = stackalloc byte[9];
        switch (random.Next(8))
        {
            case 0: // another argument
                Replace(head.At, head.Length, made[..CborHeads.Write(made, major, Number(head.Argument), Widths[random.Next(Widths.Length)])]);
                break;
            case 1: // another type
                Replace(head.At, head.Length, made[..CborHeads.Write(made, random.Next(8), head.Argument, 0)]);
                break;
            case 2: // a wider argument than needed, or an indefinite length
                made[0] = (byte)((major << 5) | 31);
                Replace(head.At, head.Length, made[..(random.Next(2) == 0 ? 1 : CborHeads.Write(made, major, head.Argument, Widths[random.Next(Widths.Length)]))]);
                break;
            case 3: // one more item
                Replace(head.At, 0, made[..CborHeads.Write(made, random.Next(8), Number(head.Argument), 0)]);
                break;
            case 4: // one fewer
                Replace(head.At, whole, []);
                break;
            case 5: // the same twice, or somewhere else
                _bytes.AsSpan(head.At, whole).CopyTo(_piece);
                Replace(_heads[random.Next(_heads.Count)].At, 0, _piece.AsSpan(0, whole));
                break;
            case 6 when head.Content > 0: // a shorter string, its head right
                var shorter = random.Next(head.Content);
                Replace(head.At + head.Length, head.Content, _bytes.AsSpan(head.At + head.Length, shorter).ToArray());
                Replace(head.At, head.Length, made[..CborHeads.Write(made, major, (ulong)shorter, 0)]);
                break;
            default: // the end of an indefinite length
                Replace(Math.Min(head.At + whole, _length), 0, [0xFF]);
                break;
        }
    }

    private ulong Number(ulong old) => random.Next(3) switch
    {
        0 => old + (ulong)random.Next(9) - 4,
        1 => Numbers[random.Next(Numbers.Length)],
        _ => (ulong)random.NextInt64() >> random.Next(64),
    };

    // Half of the changes where the structure is, at the beginning.
    private int Place() => random.Next((random.Next(2) == 0 ? Math.Min(96, _length) : _length) + 1);

    private void Replace(int at, int old, ReadOnlySpan<byte> by)
    {
        var length = Math.Min(by.Length, longest - at);
        var tail = Math.Min(_length - at - old, longest - at - length);
        _bytes.AsSpan(at + old, tail).CopyTo(_bytes.AsSpan(at + length));
        by[..length].CopyTo(_bytes.AsSpan(at));
        _length = at + length + tail;
    }
}

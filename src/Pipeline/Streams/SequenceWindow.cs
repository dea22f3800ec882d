namespace Saltograph.Pipeline.Streams;

/// <summary>
/// Which of the last packets were delivered, by their 32-bit sequence numbers that wrap (serial number arithmetic,
/// RFC 1982): tells a packet that came twice from one that came after it had been given up.
/// </summary>
internal sealed class SequenceWindow
{
    private const int Size = 1024;

    private readonly ulong[] _delivered = new ulong[Size / 64];

    /// <summary>Number of the packet that is due.</summary>
    public uint Next { get; private set; }

    /// <summary>How far a number lies ahead of the due one; negative when it is behind. Right up to 2^31 packets.</summary>
    public int Ahead(uint sequence) => unchecked((int)(sequence - Next));

    /// <summary>Starts with a packet as the due one; nothing before it is known.</summary>
    public void Start(uint first)
    {
        Array.Clear(_delivered);
        Next = first;
    }

    /// <summary>The due packet was delivered.</summary>
    public void Deliver()
    {
        Set(Next, true);
        Next = unchecked(Next + 1);
    }

    /// <summary>Gives up everything before a number ahead of the due one.</summary>
    public void SkipTo(uint sequence)
    {
        var skipped = Ahead(sequence);
        if (skipped >= Size)
        {
            Array.Clear(_delivered);
        }
        else
        {
            for (var i = 0u; i < skipped; i++)
            {
                Set(unchecked(Next + i), false);
            }
        }

        Next = sequence;
    }

    /// <summary>Whether a packet behind the due one is known to have been delivered.</summary>
    public bool WasDelivered(uint sequence) =>
        Ahead(sequence) is < 0 and >= -Size && (_delivered[sequence % Size / 64] & (1UL << (int)(sequence % 64))) != 0;

    public void CopyFrom(SequenceWindow other)
    {
        Next = other.Next;
        other._delivered.CopyTo(_delivered, 0);
    }

    private void Set(uint sequence, bool isDelivered)
    {
        ref var word = ref _delivered[sequence % Size / 64];
        var bit = 1UL << (int)(sequence % 64);
        word = isDelivered ? word | bit : word & ~bit;
    }
}

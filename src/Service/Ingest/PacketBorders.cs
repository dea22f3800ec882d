namespace Saltograph.Service.Ingest;

/// <summary>Follows the borders of MQTT packets in a stream of bytes, however it is cut into pieces.</summary>
internal sealed class PacketBorders(int largestRemainingLength)
{
    private const int LongestLengthField = 4;

    private bool _inLength;
    private int _lengthBytes;
    private int _length;
    private int _bodyLeft;

    /// <summary>Takes the next bytes; false when they announce a packet above the limit or a length field that is not one.</summary>
    public bool Follow(ReadOnlySpan<byte> bytes)
    {
        while (!bytes.IsEmpty)
        {
            if (_bodyLeft > 0)
            {
                var skipped = Math.Min(_bodyLeft, bytes.Length);
                _bodyLeft -= skipped;
                bytes = bytes[skipped..];
                continue;
            }

            var next = bytes[0];
            bytes = bytes[1..];
            if (!_inLength)
            {
                (_inLength, _lengthBytes, _length) = (true, 0, 0);
                continue;
            }

            _length |= (next & 0x7f) << (7 * _lengthBytes);
            _lengthBytes++;
            var isLast = (next & 0x80) == 0;
            if (_length > largestRemainingLength || (!isLast && _lengthBytes == LongestLengthField))
            {
                return false;
            }

            if (isLast)
            {
                _inLength = false;
                _bodyLeft = _length;
            }
        }

        return true;
    }
}

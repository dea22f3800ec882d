using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;

namespace Saltograph.Store.Recordings;

/// <summary>
/// Seals the packets of one recording with a key of its athlete: AES-256 in Galois/Counter mode (NIST SP 800-38D), its key derived for the recording (HKDF, RFC 5869, SHA-256), a random nonce of 96 bits with
/// each packet, arrival and sensor as associated data. Without the athlete's key no packet can be read, in a copy of the file neither. For one thread at a time.
/// </summary>
public sealed class RecordingSeal : IDisposable
{
    /// <summary>Length of an athlete's key, bytes.</summary>
    public const int KeyBytes = 32;

    private const int NonceBytes = 12;
    private const int TagBytes = 16;

    private readonly AesGcm _cipher;

    /// <summary>Derives the key of a recording.</summary>
    /// <param name="athleteKey">Key of the athlete, <see cref="KeyBytes"/> random bytes.</param>
    /// <param name="recording">Id of the recording.</param>
    public RecordingSeal(ReadOnlySpan<byte> athleteKey, string recording)
    {
        if (athleteKey.Length != KeyBytes)
        {
            throw new ArgumentException($"Key: found {athleteKey.Length} bytes; allowed: {KeyBytes}.", nameof(athleteKey));
        }

        Span<byte> key = stackalloc byte[KeyBytes];
        HKDF.DeriveKey(HashAlgorithmName.SHA256, athleteKey, key, salt: [], info: Encoding.UTF8.GetBytes($"saltograph recording {recording}"));
        _cipher = new(key, TagBytes);
        CryptographicOperations.ZeroMemory(key);
    }

    /// <summary>Nonce, sealed packet and tag, one after another.</summary>
    public byte[] Seal(long receivedUs, string sensor, ReadOnlySpan<byte> packet)
    {
        var sealedPacket = new byte[NonceBytes + packet.Length + TagBytes];
        var nonce = sealedPacket.AsSpan(0, NonceBytes);
        RandomNumberGenerator.Fill(nonce);
        _cipher.Encrypt(nonce, packet, sealedPacket.AsSpan(NonceBytes, packet.Length), sealedPacket.AsSpan(NonceBytes + packet.Length), Beside(receivedUs, sensor));
        return sealedPacket;
    }

    /// <summary>The packet; null when it was sealed with another key, or was changed.</summary>
    public byte[]? Open(long receivedUs, string sensor, ReadOnlySpan<byte> sealedPacket)
    {
        var length = sealedPacket.Length - NonceBytes - TagBytes;
        if (length < 0)
        {
            return null;
        }

        var packet = new byte[length];
        try
        {
            _cipher.Decrypt(sealedPacket[..NonceBytes], sealedPacket.Slice(NonceBytes, length), sealedPacket[^TagBytes..], packet, Beside(receivedUs, sensor));
            return packet;
        }
        catch (AuthenticationTagMismatchException)
        {
            return null;
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _cipher.Dispose();

    private static byte[] Beside(long receivedUs, string sensor)
    {
        var beside = new byte[sizeof(long) + Encoding.UTF8.GetByteCount(sensor)];
        BinaryPrimitives.WriteInt64LittleEndian(beside, receivedUs);
        Encoding.UTF8.GetBytes(sensor, beside.AsSpan(sizeof(long)));
        return beside;
    }
}

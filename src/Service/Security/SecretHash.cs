using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Saltograph.Service.Security;

/// <summary>Secrets of accounts: made here, at random, shown once, and kept as a salted hash only.</summary>
/// <remarks>
/// PBKDF2 (RFC 8018 section 5.2) with HMAC-SHA-512, written <c>$7$iterations$salt$hash</c> in base64 as Mosquitto writes its
/// password file, so that both brokers read the same lines. A secret has 160 random bits: no number of iterations is needed
/// to keep it from being guessed, and those here cost a connection a few milliseconds.
/// </remarks>
internal static class SecretHash
{
    private const int SecretBytes = 20;
    private const int SaltBytes = 12; // what Mosquitto 2.0 takes
    private const int HashBytes = 64;
    private const int Iterations = 10_000;
    private const int MostIterations = 1_000_000;

    // Without letters and digits that look alike; a factor of 256, so that each byte gives one of them without bias.
    private const string Letters = "abcdefghijkmnpqrstuvwxyz23456789";

    /// <summary>A new secret: 32 characters of 5 random bits each.</summary>
    public static string NewSecret() => RandomNumberGenerator.GetString(Letters, SecretBytes * 8 / 5);

    /// <summary>The hash of a secret with a new salt.</summary>
    public static string Of(string secret)
    {
        var salt = RandomNumberGenerator.GetBytes(SaltBytes);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"$7${Iterations}${Convert.ToBase64String(salt)}${Convert.ToBase64String(Derive(secret, salt, Iterations))}");
    }

    /// <summary>Whether a text is such a hash.</summary>
    public static bool IsValid(string text) => TryRead(text, out _, out _, out _);

    /// <summary>Whether a secret is the one of a hash; takes the same time wherever the two differ.</summary>
    public static bool IsRight(string secret, string hash) =>
        TryRead(hash, out var iterations, out var salt, out var expected)
        && CryptographicOperations.FixedTimeEquals(Derive(secret, salt, iterations), expected);

    private static byte[] Derive(string secret, byte[] salt, int iterations) =>
        Rfc2898DeriveBytes.Pbkdf2(Encoding.UTF8.GetBytes(secret), salt, iterations, HashAlgorithmName.SHA512, HashBytes);

    private static bool TryRead(string text, out int iterations, out byte[] salt, out byte[] hash)
    {
        (iterations, salt, hash) = (0, [], []);
        var parts = text.Split('$');
        if (parts.Length != 5 || parts[0].Length > 0 || parts[1] != "7"
            || !int.TryParse(parts[2], NumberStyles.None, CultureInfo.InvariantCulture, out iterations) || iterations is < 1 or > MostIterations)
        {
            return false;
        }

        salt = new byte[SaltBytes];
        hash = new byte[HashBytes];
        return Convert.TryFromBase64String(parts[3], salt, out var saltLength) && saltLength == SaltBytes
            && Convert.TryFromBase64String(parts[4], hash, out var hashLength) && hashLength == HashBytes;
    }
}

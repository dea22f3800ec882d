using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

/// <summary>Skips a test, saying why, where the reference data is absent.</summary>
internal static class Shared
{
    public static void Require(params string[] parts)
    {
        var missing = Repository.SharedMissing(parts);
        Assert.SkipWhen(missing is not null, missing ?? string.Empty);
    }
}

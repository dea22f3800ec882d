using DbUp.Builder;

namespace Saltograph.Store.Engines;

/// <summary>Runs the scripts of this assembly that a database has not seen, in the order of their names, each in a transaction.</summary>
internal static class Migration
{
    /// <summary>Does it.</summary>
    /// <param name="builder">With the database.</param>
    /// <param name="idType">Type of ids: text that compares by its bytes.</param>
    /// <param name="bytesType">Type of bytes.</param>
    public static void Run(UpgradeEngineBuilder builder, string idType, string bytesType)
    {
        var result = builder
            .WithScriptsEmbeddedInAssembly(typeof(Migration).Assembly)
            .WithVariable("id", idType)
            .WithVariable("bytes", bytesType)
            .WithTransactionPerScript()
            .LogToNowhere()
            .Build()
            .PerformUpgrade();
        if (!result.Successful)
        {
            throw new StoreException($"The schema could not be brought to this version, script {result.ErrorScript?.Name}: {result.Error.Message}", result.Error);
        }
    }
}

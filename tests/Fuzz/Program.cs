using System.Globalization;
using Saltograph.Fuzz;
using Saltograph.Fuzz.Targets;

// dotnet run -c Release --project tests/Fuzz -- TARGET EXECUTIONS [SEED] [keep]
if (args is not [var name, var count, ..] || !Catalogue.Names.Contains(name, StringComparer.Ordinal) || !long.TryParse(count, NumberStyles.None, CultureInfo.InvariantCulture, out var executions))
{
    Console.Error.WriteLine($"Found '{string.Join(' ', args)}'; allowed: TARGET ({string.Join(", ", Catalogue.Names)}), number of executions, as an option the seed of chance, and the word keep to write what was found into the corpus.");
    return 2;
}

var seed = args.Length > 2 && int.TryParse(args[2], NumberStyles.None, CultureInfo.InvariantCulture, out var given) ? given : Environment.TickCount;
using var map = new CoverageMap();
var campaign = new Campaign(Plans.Of(name), new InstrumentedAssemblies().Open(name), map, seed)
{
    Progress = result => Console.WriteLine($"{name}: {result}"),
    Hanging = input =>
    {
        Console.WriteLine($"{name}: hangs with {Convert.ToHexString(input)}");
        Environment.Exit(3);
    },
};
var found = campaign.Run(executions, Corpus.Read(name));
foreach (var defect in found.Defects)
{
    Console.WriteLine($"{name}: {defect.Problem}\n  input {Convert.ToHexString(defect.Input)}");
}

if (args.Contains("keep", StringComparer.Ordinal))
{
    Corpus.Write(name, found.Corpus);
}

Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name}: seed {seed}: {found}; working set {Environment.WorkingSet >> 20} MiB"));
return found.Defects.Count == 0 ? 0 : 1;

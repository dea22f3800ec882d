using Saltograph.Benchmarks;

// dotnet run -c Release --project tests/Benchmarks -- NAME
return args switch
{
    ["service-throughput"] => await ServiceThroughput.RunAsync(),
    _ => Unknown(),
};

static int Unknown()
{
    Console.Error.WriteLine("Which benchmark? service-throughput");
    return 2;
}

using Saltograph.Benchmarks;

// dotnet run -c Release --project tests/Benchmarks -- NAME
return args switch
{
    ["ahrs-speed"] => AhrsSpeed.Run(),
    ["ahrs-accuracy"] => AhrsAccuracy.Run(),
    ["pipeline-cost"] => PipelineCost.Run(),
    ["store-queries"] => await StoreQueries.RunAsync(),
    ["service-throughput"] => await ServiceThroughput.RunAsync(),
    ["reports"] => await ReportBuilding.RunAsync(),
    ["screen-delay", .. var how] when how.All(word => word is "full" or "faults") => await ScreenDelay.RunAsync(how.Contains("full"), how.Contains("faults")),
    _ => Unknown(),
};

static int Unknown()
{
    Console.Error.WriteLine("Which benchmark? ahrs-speed, ahrs-accuracy, pipeline-cost, store-queries, service-throughput, reports, screen-delay [full] [faults]");
    return 2;
}

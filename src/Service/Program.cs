using Saltograph.Service.Verbs;

return await CommandLine.RunAsync(args, Terminal.OfProcess);

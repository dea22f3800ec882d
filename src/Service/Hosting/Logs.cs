using Serilog;
using Serilog.Events;
using Serilog.Formatting.Compact;

namespace Saltograph.Service.Hosting;

/// <summary>How logs are written.</summary>
internal static class Logs
{
    /// <summary>One JSON object per line on standard output.</summary>
    public static Serilog.ILogger Compact() => Base().WriteTo.Console(new CompactJsonFormatter()).CreateLogger();

    /// <summary>Warnings and errors as text, for people who watch a simulated hall on a terminal.</summary>
    public static Serilog.ILogger Readable() => Base()
        .MinimumLevel.Override(typeof(Facts.LogSink).FullName!, LogEventLevel.Error) // gaps and late packets belong to the simulation
        .MinimumLevel.Override("Microsoft.AspNetCore.DataProtection", LogEventLevel.Error) // keys of a simulated hall are not sealed and go with it
        .MinimumLevel.Override("Microsoft.AspNetCore.Antiforgery", LogEventLevel.Error) // it says only that it forbade storing a page with a form
        .WriteTo.Console(
            LogEventLevel.Warning,
            "{Timestamp:HH:mm:ss} {Level:w}: {Message:lj}{NewLine}{Exception}",
            System.Globalization.CultureInfo.InvariantCulture,
            standardErrorFromLevel: LogEventLevel.Verbose)
        .CreateLogger();

    private static LoggerConfiguration Base() => new LoggerConfiguration()
        .MinimumLevel.Information()
        .MinimumLevel.Override("Microsoft", LogEventLevel.Warning)
        .Enrich.FromLogContext();
}

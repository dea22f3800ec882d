using Spectre.Console;

namespace Saltograph.Service.Verbs;

/// <summary>Where a verb writes to.</summary>
/// <param name="Out">Results.</param>
/// <param name="Error">Messages about what went wrong.</param>
/// <param name="IsInteractive">Whether a person watches: progress may be drawn.</param>
internal sealed record Terminal(TextWriter Out, TextWriter Error, bool IsInteractive)
{
    // Wide enough for the table of jumps where nobody says how wide the output is.
    private const int WidthWhenRedirected = 150;

    /// <summary>The terminal of this process.</summary>
    public static Terminal OfProcess => new(Console.Out, Console.Error, !Console.IsOutputRedirected && !Console.IsErrorRedirected);

    /// <summary>Tables and progress.</summary>
    public IAnsiConsole Ansi()
    {
        var console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Out = new AnsiConsoleOutput(Out),
            Ansi = IsInteractive ? AnsiSupport.Detect : AnsiSupport.No,
            Interactive = IsInteractive ? InteractionSupport.Detect : InteractionSupport.No,
        });
        if (!IsInteractive)
        {
            console.Profile.Width = WidthWhenRedirected;
        }

        return console;
    }
}

using Spectre.Console;

namespace Saltograph.Service.Verbs;

/// <summary>How far a piece of work has come.</summary>
internal sealed class WorkProgress
{
    private double _share;

    /// <summary>Share done, 0 to 1.</summary>
    public double Share
    {
        get => Volatile.Read(ref _share);
        set => Volatile.Write(ref _share, value);
    }
}

/// <summary>Shows progress of work that takes long, to a person only.</summary>
internal static class WithProgress
{
    private static readonly TimeSpan ShownAfter = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan Refresh = TimeSpan.FromMilliseconds(200);

    /// <summary>Runs the work beside the terminal; draws a bar when it takes longer than two seconds and somebody watches.</summary>
    public static async Task<T> RunAsync<T>(Terminal terminal, string what, Func<WorkProgress, T> work)
    {
        var progress = new WorkProgress();
        var running = Task.Run(() => work(progress));
        if (!terminal.IsInteractive || await Task.WhenAny(running, Task.Delay(ShownAfter)) == running)
        {
            return await running;
        }

        return await terminal.Ansi().Progress().AutoClear(true).StartAsync(async context =>
        {
            var bar = context.AddTask(what, maxValue: 1);
            while (await Task.WhenAny(running, Task.Delay(Refresh)) != running)
            {
                bar.Value = progress.Share;
            }

            return await running;
        });
    }
}

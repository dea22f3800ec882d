using System.Data.Common;
using Saltograph.Board.Text;

namespace Saltograph.Board.Live;

/// <summary>How current a page is that reads the store again and again.</summary>
/// <param name="hall">Its clock.</param>
public sealed class StoreReads(HallTime hall)
{
    /// <summary>When the store answered last, us since 1970; null before it has.</summary>
    public long? AnsweredUs { get; private set; }

    /// <summary>Whether the last read failed, so that what is shown is of <see cref="AnsweredUs"/>.</summary>
    public bool IsStale { get; private set; }

    /// <summary>Reads; a store that does not answer throws.</summary>
    public async Task ReadAsync(Func<Task> read)
    {
        ArgumentNullException.ThrowIfNull(read);
        await read();
        (AnsweredUs, IsStale) = (hall.NowUs, false);
    }

    /// <summary>Reads; a store that is away for a while does not end the page, which would then look live and be old.</summary>
    public async Task TryReadAsync(Func<Task> read)
    {
        try
        {
            await ReadAsync(read);
        }
        catch (DbException)
        {
            IsStale = true;
        }
    }
}

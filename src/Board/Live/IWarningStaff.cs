namespace Saltograph.Board.Live;

/// <summary>What staff may do with a warning. The answer is null when it was done, else what was found and what is allowed.</summary>
public interface IWarningStaff
{
    /// <summary>Acknowledges a warning.</summary>
    /// <param name="warning">Its id.</param>
    /// <param name="who">Pseudonym of the member of staff.</param>
    /// <param name="why">Reason.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> AcknowledgeAsync(string warning, string who, string why, CancellationToken stop);

    /// <summary>Silences a warning for a time; it comes back by itself.</summary>
    /// <param name="warning">Its id.</param>
    /// <param name="minutes">For how long, min, 1 to 1440.</param>
    /// <param name="who">Pseudonym of the member of staff.</param>
    /// <param name="why">Reason.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> ShelveAsync(string warning, int minutes, string who, string why, CancellationToken stop);

    /// <summary>Ends the silence of a warning before its time.</summary>
    /// <param name="warning">Its id.</param>
    /// <param name="who">Pseudonym of the member of staff.</param>
    /// <param name="why">Reason.</param>
    /// <param name="stop">Gives up.</param>
    Task<string?> UnshelveAsync(string warning, string who, string why, CancellationToken stop);
}

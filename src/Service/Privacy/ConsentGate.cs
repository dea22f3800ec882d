using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Wire;

namespace Saltograph.Service.Privacy;

/// <summary>Whether an athlete may be recorded and shown, as her consent stands now. Without an entry it is what <c>people.consentAssumed</c> says.</summary>
internal sealed class ConsentGate(PeopleBook book, ServiceOptions options)
{
    /// <summary>Whether her packets may be taken, recorded and measured.</summary>
    public bool MayRecord(AthleteId athlete) => book.Consent(athlete.Value)?.Recording ?? options.People.ConsentAssumed;

    /// <summary>Whether what was measured may be shown and published.</summary>
    public bool MayShow(AthleteId athlete) => book.Consent(athlete.Value)?.Display ?? options.People.ConsentAssumed;

    /// <summary>Whether a message may be told: one that tells nothing of an athlete, of one who may be shown, or an empty one, which takes a retained one away.</summary>
    public bool MayTell(OutgoingMessage message) =>
        message.Payload.Length == 0 || !Topics.TryParseAthlete(message.Topic, out _, out var athlete, out _) || MayShow(athlete);
}

/// <summary>The way out to the broker, closed for what is told of athletes who may not be shown. An empty message passes: it takes a retained one away.</summary>
internal sealed class ConsentedOut(IMessageOut broker, ConsentGate consent) : IMessageOut
{
    /// <inheritdoc/>
    public ValueTask SendAsync(OutgoingMessage message, CancellationToken stop)
    {
        if (consent.MayTell(message))
        {
            return broker.SendAsync(message, stop);
        }

        message.Finished?.Invoke(true);
        return ValueTask.CompletedTask;
    }

    /// <inheritdoc/>
    public Task DrainAsync(CancellationToken stop) => broker.DrainAsync(stop);
}

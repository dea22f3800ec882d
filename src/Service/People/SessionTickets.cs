using System.Collections.Concurrent;
using System.Globalization;
using System.Security.Claims;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.People;

/// <summary>Who is signed in. The cookie holds a random key only, so that signing out ends it here, for a copied cookie too. Sessions end with the process.</summary>
internal sealed class SessionTickets(ServiceOptions options, TimeProvider time) : ITicketStore
{
    private const int Most = 2000;

    private readonly ConcurrentDictionary<string, AuthenticationTicket> _tickets = new(StringComparer.Ordinal);

    /// <inheritdoc/>
    public Task<string> StoreAsync(AuthenticationTicket ticket)
    {
        Sweep();
        var key = ticket.Principal.FindFirstValue(PeopleSide.SessionClaim)!;
        _tickets[key] = ticket;
        return Task.FromResult(key);
    }

    /// <summary>A key nobody can guess: 256 random bits.</summary>
    public static string NewKey() => Convert.ToHexString(RandomNumberGenerator.GetBytes(32));

    /// <inheritdoc/>
    public Task RenewAsync(string key, AuthenticationTicket ticket)
    {
        if (_tickets.ContainsKey(key))
        {
            _tickets[key] = ticket;
        }

        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public Task<AuthenticationTicket?> RetrieveAsync(string key) => Task.FromResult(_tickets.GetValueOrDefault(key));

    /// <inheritdoc/>
    public Task RemoveAsync(string key)
    {
        _tickets.TryRemove(key, out _);
        return Task.CompletedTask;
    }

    /// <summary>Whether a session goes on: not signed out, and nothing happened to the person that ends sessions.</summary>
    /// <param name="key">Its key.</param>
    /// <param name="stamp">The person's stamp now.</param>
    public bool IsOpen(string key, string stamp) =>
        _tickets.TryGetValue(key, out var ticket) && !IsOver(ticket) && ticket.Principal.HasClaim(PeopleSide.StampClaim, stamp);

    // Idle too long, or signed in too long whatever was done meanwhile.
    private bool IsOver(AuthenticationTicket ticket) =>
        ticket.Properties.ExpiresUtc < time.GetUtcNow()
        || !long.TryParse(ticket.Principal.FindFirstValue(PeopleSide.SinceClaim), NumberStyles.None, CultureInfo.InvariantCulture, out var since)
        || time.GetUtcNow() - DateTimeOffset.FromUnixTimeSeconds(since) > TimeSpan.FromHours(options.People.LongestHours);

    // Nothing grows without a bound: what is over goes, and of too many those that end first.
    private void Sweep()
    {
        foreach (var (key, _) in _tickets.Where(pair => IsOver(pair.Value)))
        {
            _tickets.TryRemove(key, out _);
        }

        while (_tickets.Count >= Most && _tickets.MinBy(pair => pair.Value.Properties.ExpiresUtc) is { Key: { } first })
        {
            _tickets.TryRemove(first, out _);
        }
    }
}

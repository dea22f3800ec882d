using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;
using Saltograph.Service.Configuration;
using Saltograph.Service.Verbs;
using Saltograph.Wire;

namespace Saltograph.Service.Warnings.Telling;

/// <summary>Sends a mail for each warning: pseudonym, rule and the sentence of what led to it.</summary>
internal sealed class Mail(TellOptions options, string? password) : IWarningChannel
{
    /// <inheritdoc/>
    public string Name => "mail";

    /// <inheritdoc/>
    public async Task SendAsync(WarningNews news, CancellationToken stop)
    {
        var change = news.Change;
        using var message = new MimeMessage();
        message.From.Add(MailboxAddress.Parse(options.MailFrom));
        message.To.AddRange(InternetAddressList.Parse(options.MailTo));
        message.Subject = $"Warning, {WarningJson.Word(change.Priority)}: {change.Rule}, {change.Athlete}";
        message.Headers.Add("Saltograph-Event", news.EventId);
        message.Body = new TextPart("plain")
        {
            Text = $"""
            {change.Detail.Text}

            Athlete   {change.Athlete}
            Rule      {change.Rule}, {change.Subject}
            Channel   {WarningJson.Word(change.Channel)}
            Raised    {Rfc3339.Text(change.RaisedTime)}
            State     {WarningJson.Word(change.To)}

            {Cautions.Line}
            """,
        };
        using var client = new SmtpClient { Timeout = 10_000 };
        await client.ConnectAsync(
            options.MailHost,
            options.MailPort,
            options.MailSecurity switch
            {
                TellOptions.Tls => SecureSocketOptions.SslOnConnect,
                TellOptions.StartTls => SecureSocketOptions.StartTls,
                _ => SecureSocketOptions.None,
            },
            stop);
        if (options.MailUser.Length > 0)
        {
            await client.AuthenticateAsync(options.MailUser, password ?? "", stop);
        }

        try
        {
            await client.SendAsync(message, stop);
        }
        catch (SmtpCommandException refused)
        {
            throw new TellingRefusedException($"the mail server answered {(int)refused.StatusCode}");
        }

        await client.DisconnectAsync(quit: true, stop);
    }
}

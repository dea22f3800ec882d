using System.Net;
using MimeKit;
using Saltograph.Load;

namespace Saltograph.Service.Configuration;

/// <summary>Ways out for warnings beside MQTT; all off by default.</summary>
internal sealed record TellOptions
{
    internal const string StartTls = "starttls";
    internal const string Tls = "tls";
    internal const string Plain = "none";

    /// <summary>Web address that warnings are posted to, https, or http on the loopback address; the secret is read from the environment variable SALTOGRAPH_WEBHOOK_SECRET. Default empty: none.</summary>
    public string WebhookUrl { get; init; } = "";

    /// <summary>Mail server that takes mails; default empty: no mails.</summary>
    public string MailHost { get; init; } = "";

    /// <summary>Its TCP port, 1 to 65535; default 587.</summary>
    public int MailPort { get; init; } = 587;

    /// <summary><c>starttls</c>, <c>tls</c>, or on the loopback address <c>none</c>; default <c>starttls</c>.</summary>
    public string MailSecurity { get; init; } = StartTls;

    /// <summary>User at the mail server, empty for none; the password is read from the environment variable SALTOGRAPH_MAIL_PASSWORD. Default empty.</summary>
    public string MailUser { get; init; } = "";

    /// <summary>Address of the sender; default empty, needed with a mail server.</summary>
    public string MailFrom { get; init; } = "";

    /// <summary>Addresses of the receivers, with commas between; default empty, needed with a mail server.</summary>
    public string MailTo { get; init; } = "";

    /// <summary>Lowest priority that is told: <c>low</c>, <c>medium</c> or <c>high</c>; default <c>medium</c>.</summary>
    public string LowestPriority { get; init; } = "medium";

    /// <summary>Attempts before a warning goes to the file, 1 to 20; default 8, some four minutes with the default wait.</summary>
    public int Attempts { get; init; } = 8;

    /// <summary>Wait before the second attempt, s, 0.01 to 60; default 2. It doubles up to 300 s, and a random half of it is taken off.</summary>
    public double FirstWaitS { get; init; } = 2;

    /// <summary>File of what could not be told, JSON Lines, from the folder of this file on; default <c>data/not-told.jsonl</c>.</summary>
    public string NotToldFile { get; init; } = "data/not-told.jsonl";

    /// <summary>What is not allowed: key, found, allowed.</summary>
    public IEnumerable<(string Key, string Found, string Allowed)> Faults()
    {
        if (WebhookUrl.Length > 0 && !(Uri.TryCreate(WebhookUrl, UriKind.Absolute, out var url) && (url.Scheme == Uri.UriSchemeHttps || (url.Scheme == Uri.UriSchemeHttp && url.IsLoopback))))
        {
            yield return ("tell.webhookUrl", WebhookUrl, "an https address, or http on loopback");
        }

        if (MailHost.Length > 0)
        {
            var isLoopback = MailHost == "localhost" || (IPAddress.TryParse(MailHost, out var address) && IPAddress.IsLoopback(address));
            if (!(MailSecurity is StartTls or Tls || (MailSecurity == Plain && isLoopback)))
            {
                yield return ("tell.mailSecurity", MailSecurity, "starttls, tls, or on loopback none");
            }

            if (!MailboxAddress.TryParse(MailFrom, out _))
            {
                yield return ("tell.mailFrom", MailFrom, "a mail address");
            }

            if (!InternetAddressList.TryParse(MailTo, out var to) || to.Count == 0)
            {
                yield return ("tell.mailTo", MailTo, "mail addresses with commas between");
            }
        }

        if (!Enum.TryParse<WarningPriority>(LowestPriority, ignoreCase: true, out var priority) || !Enum.IsDefined(priority))
        {
            yield return ("tell.lowestPriority", LowestPriority, "low, medium or high");
        }
    }
}

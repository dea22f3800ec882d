namespace Saltograph.Service.Configuration;

/// <summary>What <c>service.json</c> may say of people and of the HTTP port.</summary>
internal static class PeopleRules
{
    /// <summary>Adds every fault.</summary>
    public static void Check(ServiceOptions options, ServiceOptionsRules.Check check)
    {
        var (http, people) = (options.Http, options.People);
        var isLoopback = ServiceOptionsRules.IsLoopback(http.Address);
        check.That(!people.Anonymous || isLoopback, "people.anonymous", $"true on {http.Address}", "true on a loopback address only");
        check.That(
            isLoopback || http.TlsElsewhere || http.CertificateFile.Length > 0,
            "http.certificateFile",
            "",
            "a certificate, or tlsElsewhere, when the address is not loopback: passwords must not travel in the clear");
        check.That(http.CertificateFile.Length > 0 || http.CertificateKeyFile.Length == 0, "http.certificateFile", "", "a certificate, when there is certificateKeyFile");
        check.That(
            http.Hosts.Length == 0 || http.Hosts.Split(',').All(host => Uri.CheckHostName(host.Trim()) != UriHostNameType.Unknown),
            "http.hosts",
            http.Hosts,
            "host names or IP addresses without port, with commas between");
        check.That(isLoopback || http.Hosts.Length > 0, "http.hosts", "", "the host names under which the service is reached, when the address is not loopback");
        foreach (var (key, days) in new[]
        {
            ("jumpsDays", options.Retention.JumpsDays), ("warningsDays", options.Retention.WarningsDays), ("trainingsDays", options.Retention.TrainingsDays), ("auditDays", options.Retention.AuditDays),
        })
        {
            check.That(days is 0 or (>= 28 and <= 36_500), $"retention.{key}", days.ToString(System.Globalization.CultureInfo.InvariantCulture), "0, or 28 to 36500");
        }

        check.Between("retention.sensorEventsDays", options.Retention.SensorEventsDays, 0, 36_500);
        check.Between("people.idleMinutes", people.IdleMinutes, 5, 1440);
        check.Between("people.longestHours", people.LongestHours, 1, 168);
        check.Between("people.linkHours", people.LinkHours, 1, 168);
        check.Between("people.wrongPasswords", people.WrongPasswords, 3, 20);
        check.Between("people.restMinutes", people.RestMinutes, 1, 1440);
        check.Between("people.requestsPerMinute", people.RequestsPerMinute, 60, 100_000);
        check.Between("people.signInsPerMinute", people.SignInsPerMinute, 1, 1000);
        check.That(people.KeyFolder.Length > 0, "people.keyFolder", "nothing", "a folder");
        check.That(people.OpenId.Authority.Length == 0 || IsProvider(people.OpenId.Authority), "people.openId.authority", people.OpenId.Authority, "https://..., or http:// on a loopback address");
        check.That(people.OpenId.ClientId.Length > 0, "people.openId.clientId", "nothing", "the id of this service at the provider");
    }

    private static bool IsProvider(string text) =>
        Uri.TryCreate(text, UriKind.Absolute, out var address) && (address.Scheme == Uri.UriSchemeHttps || (address.Scheme == Uri.UriSchemeHttp && address.IsLoopback));
}

using System.Security.Authentication;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Server.Kestrel.Https;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.Security;

/// <summary>TLS of the embedded broker and of the HTTP port: versions 1.2 and 1.3 only, a certificate from files, client certificates of an authority of one's own.</summary>
internal static class BrokerTls
{
    /// <summary>Environment variable with the password of a PFX file.</summary>
    public const string PasswordVariable = "SALTOGRAPH_CERTIFICATE_PASSWORD";

    /// <summary>What the listener needs; null when no certificate is configured. Throws <see cref="CryptographicException"/> or <see cref="IOException"/> for files that are none.</summary>
    public static HttpsConnectionAdapterOptions? Options(EmbeddedBrokerOptions broker)
    {
        if (broker.CertificateFile.Length == 0)
        {
            return null;
        }

        var options = OfFiles(broker.CertificateFile, broker.CertificateKeyFile);
        if (broker.ClientAuthorityFile.Length > 0)
        {
            var authorities = Authorities(broker.ClientAuthorityFile);
            options.ClientCertificateMode = ClientCertificateMode.AllowCertificate; // who has none may have a secret
            options.ClientCertificateValidation = (certificate, _, _) => IsOf(certificate, authorities);
        }

        return options;
    }

    /// <summary>The same for the HTTP port, without client certificates.</summary>
    public static HttpsConnectionAdapterOptions? Options(HttpOptions http) => http.CertificateFile.Length == 0 ? null : OfFiles(http.CertificateFile, http.CertificateKeyFile);

    /// <summary>The certificates of a PEM file.</summary>
    public static X509Certificate2Collection Authorities(string file)
    {
        var authorities = new X509Certificate2Collection();
        authorities.ImportFromPemFile(file);
        return authorities.Count > 0 ? authorities : throw new CryptographicException($"{file}: found no certificate; allowed: PEM with at least one.");
    }

    private static HttpsConnectionAdapterOptions OfFiles(string certificate, string key) =>
        new() { ServerCertificate = Load(certificate, key), SslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13 };

    private static X509Certificate2 Load(string certificate, string key)
    {
        if (key.Length == 0)
        {
            return X509CertificateLoader.LoadPkcs12FromFile(certificate, Environment.GetEnvironmentVariable(PasswordVariable));
        }

        using var fromPem = X509Certificate2.CreateFromPemFile(certificate, key);
        return X509CertificateLoader.LoadPkcs12(fromPem.Export(X509ContentType.Pkcs12), null); // some platforms take no key that is in memory only
    }

    // Only the authorities of the file count, not those of the machine; there is no list of revoked ones: "revoke" takes the account away.
    private static bool IsOf(X509Certificate2 certificate, X509Certificate2Collection authorities)
    {
        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(authorities);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        chain.ChainPolicy.ApplicationPolicy.Add(new Oid("1.3.6.1.5.5.7.3.2")); // client authentication, RFC 5280 section 4.2.1.12
        return chain.Build(certificate);
    }
}

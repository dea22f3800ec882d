using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Saltograph.Service.Tests.Security;

/// <summary>An authority of the test, and certificates from it.</summary>
internal sealed class TestCertificates : IDisposable
{
    private const string ServerAuthentication = "1.3.6.1.5.5.7.3.1"; // RFC 5280 section 4.2.1.12
    private const string ClientAuthentication = "1.3.6.1.5.5.7.3.2";

    private readonly X509Certificate2 _authority;

    public TestCertificates()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=authority of the test", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyCertSign, true));
        _authority = request.CreateSelfSigned(DateTimeOffset.UtcNow.AddDays(-1), DateTimeOffset.UtcNow.AddDays(2));
    }

    public X509Certificate2 Authority => _authority;

    public void WriteAuthority(string file) => File.WriteAllText(file, _authority.ExportCertificatePem());

    public void WriteServer(string certificateFile, string keyFile)
    {
        using var certificate = Issue("localhost", ServerAuthentication);
        File.WriteAllText(certificateFile, certificate.ExportCertificatePem());
        File.WriteAllText(keyFile, certificate.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem());
    }

    public X509Certificate2 Client(string name) => Issue(name, ClientAuthentication);

    public void Dispose() => _authority.Dispose();

    private X509Certificate2 Issue(string name, string use)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName("localhost");
        names.AddIpAddress(IPAddress.Loopback);
        request.CertificateExtensions.Add(names.Build());
        request.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([new Oid(use)], false));
        using var issued = request.Create(_authority, DateTimeOffset.UtcNow.AddHours(-1), DateTimeOffset.UtcNow.AddDays(1), RandomNumberGenerator.GetBytes(8));
        using var whole = issued.CopyWithPrivateKey(key);
        return X509CertificateLoader.LoadPkcs12(whole.Export(X509ContentType.Pkcs12), null, X509KeyStorageFlags.Exportable);
    }
}

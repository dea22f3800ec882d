using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.DataProtection;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.People;

/// <summary>The keys that seal names, keys of recordings and cookies: in a folder of their own, apart from the database, so that a copy of either alone tells nothing.</summary>
internal static class DataKeys
{
    /// <summary>Environment variable with the password of the certificate that seals the keys.</summary>
    public const string PasswordVariable = "SALTOGRAPH_KEY_PASSWORD";

    /// <summary>Registers them.</summary>
    public static void Add(IServiceCollection services, PeopleOptions people)
    {
        var protection = services.AddDataProtection().SetApplicationName("saltograph").PersistKeysToFileSystem(Folder(people.KeyFolder));
        if (people.KeyCertificateFile.Length > 0)
        {
            protection.ProtectKeysWithCertificate(X509CertificateLoader.LoadPkcs12FromFile(people.KeyCertificateFile, Environment.GetEnvironmentVariable(PasswordVariable)));
        }
    }

    /// <summary>The same keys outside the service, for verbs.</summary>
    public static IDataProtectionProvider Open(PeopleOptions people)
    {
        var services = new ServiceCollection();
        Add(services, people);
        return services.BuildServiceProvider().GetRequiredService<IDataProtectionProvider>();
    }

    private static DirectoryInfo Folder(string path)
    {
        if (OperatingSystem.IsWindows())
        {
            return Directory.CreateDirectory(path);
        }

        var folder = Directory.CreateDirectory(path, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        File.SetUnixFileMode(path, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        return folder;
    }
}

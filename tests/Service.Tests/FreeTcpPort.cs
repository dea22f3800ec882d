using System.Net;
using System.Net.Sockets;

namespace Saltograph.Service.Tests;

/// <summary>A loopback port that nobody listens on.</summary>
internal static class FreeTcpPort
{
    public static int Find()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}

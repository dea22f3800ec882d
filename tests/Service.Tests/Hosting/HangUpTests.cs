using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Faults;

namespace Saltograph.Service.Tests.Hosting;

public sealed class HangUpTests
{
    [Fact]
    [Fault("the connection to the broker flaps, 20 times", "connecting goes on until one stays", back: "0.25 to 15 s after the last cut")]
    public async Task Connecting_goes_on_after_connections_that_end_as_soon_as_they_are_up()
    {
        await using var broker = new HangUpBroker(hangUps: 20);
        await using var host = await TestHall.StartAsync(TestHall.Options(broker.Port));
        await broker.Stays.WaitAsync(TimeSpan.FromSeconds(60), TestContext.Current.CancellationToken);
        await MosquittoHallTests.ReadyAsync(host);
        var source = host.Services.GetRequiredService<IPacketSource>();
        Assert.True(SpinWait.SpinUntil(() => source.IsReady, TimeSpan.FromSeconds(30)));
    }
}

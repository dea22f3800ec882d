using FsCheck.Xunit;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Tests.Ingest;

public sealed class BackoffTests
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(0.25);
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(15);

    [Property]
    public bool Each_wait_lies_between_half_and_the_whole_of_its_step(int seed)
    {
        var backoff = new Backoff(First, Longest, new Random(seed));
        var step = First;
        for (var i = 0; i < 12; i++)
        {
            var wait = backoff.Next();
            if (wait > step || wait < step / 2)
            {
                return false;
            }

            step = step * 2 < Longest ? step * 2 : Longest;
        }

        return true;
    }

    [Fact]
    public void After_a_success_it_begins_again()
    {
        var backoff = new Backoff(First, Longest, new Random(1));
        for (var i = 0; i < 10; i++)
        {
            backoff.Next();
        }

        backoff.Reset();
        Assert.InRange(backoff.Next(), First / 2, First);
    }
}

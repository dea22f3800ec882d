namespace Saltograph.Load.Tests;

/// <summary>Nothing else runs beside them: what the process holds is what the engine holds.</summary>
[CollectionDefinition("memory", DisableParallelization = true)]
public sealed class Memory;

[Collection("memory")]
public sealed class MemoryTests
{
    [Fact]
    public void What_an_engine_remembers_of_an_athlete_stops_growing_with_its_histories_full()
    {
        var engine = new WarningEngine(WarningRules.Proposed);
        var number = 10_000; // ids of one length
        Jump(engine, ref number, 3000); // 2000 jumps, and 200 of each form and leg
        var fullBytes = GC.GetTotalMemory(forceFullCollection: true);
        Jump(engine, ref number, 3000);
        var grownBytes = GC.GetTotalMemory(forceFullCollection: true) - fullBytes;
        GC.KeepAlive(engine);
        Assert.InRange(grownBytes / 3000.0, double.NegativeInfinity, 10); // bytes a jump; one that is remembered takes 450
    }

    [Fact]
    public void Until_then_each_jump_takes_its_place()
    {
        var engine = new WarningEngine(WarningRules.Proposed);
        var number = 10_000; // ids of one length
        Jump(engine, ref number, 100);
        var beforeBytes = GC.GetTotalMemory(forceFullCollection: true);
        Jump(engine, ref number, 1000);
        var eachBytes = (GC.GetTotalMemory(forceFullCollection: true) - beforeBytes) / 1000.0;
        GC.KeepAlive(engine);
        TestContext.Current.TestOutputHelper?.WriteLine($"{eachBytes:0} bytes for each remembered jump");
        Assert.InRange(eachBytes, 100, 1500);
    }

    private static void Jump(WarningEngine engine, ref int number, int jumps)
    {
        for (var i = 0; i < jumps; i++, number++)
        {
            engine.Count(Made.Jump(number, Made.UsualShockG(number), leg: (number % 3) switch { 0 => Leg.Left, 1 => Leg.Right, _ => Leg.Both }) with
            {
                Form = (ElementForm)(number / 3 % 5),
                TrunkShock = new(5, Saturated: false),
            });
        }
    }
}

using Saltograph.Service.Tests.Api;
using Saltograph.Store;

namespace Saltograph.Service.Tests.Soak;

/// <summary>
/// Jumps of the weeks before a training, as many as the service remembers of anybody (<see cref="Warnings.LandingClasses"/> 4000, the watches of Load 2000 and 200 of each site, form and leg).
/// All histories are full when the training begins: what grows after that is held for no reason.
/// </summary>
internal static class EarlierWeeks
{
    private const int Jumps = 4000;
    private const double Days = 34; // of the 35 that are looked up at a start
    private static readonly string[] Forms = ["leap", "hop", "jump", "assemble", "sissonne"];
    private static readonly string?[] Feet = ["left", "right", "both", null];

    /// <summary>Stores them.</summary>
    /// <param name="file">The embedded database; made if it is not there.</param>
    /// <param name="athletes">Pseudonyms.</param>
    /// <param name="beginUs">Begin of the training.</param>
    public static async Task StoreAsync(string file, IEnumerable<string> athletes, long beginUs)
    {
        var stop = TestContext.Current.CancellationToken;
        await using var store = await HallStore.OpenAsync(new() { File = file }, stop);
        foreach (var athlete in athletes)
        {
            await store.WriteAsync(
                async transaction =>
                {
                    await transaction.AddAthleteAsync(athlete, beginUs);
                    for (var number = 0; number < Jumps; number++)
                    {
                        await transaction.AddJumpAsync(Jump(athlete, number, beginUs));
                    }
                },
                stop);
        }
    }

    private static Store.Rows.JumpRow Jump(string athlete, int number, long beginUs)
    {
        var landingUs = beginUs - (long)((Jumps - number) * Days * 86_400e6 / Jumps);
        var shockG = 8 + (number * 7 % 50 * 0.1);
        return ApiHall.Jump(athlete, number, landingUs, leftG: shockG, rightG: shockG) with
        {
            Id = $"{athlete}.imu-{athlete}-trunk.{landingUs}", // about as long as those of measured jumps
            Form = Forms[number % Forms.Length],
            LandingFoot = Feet[number / Forms.Length % Feet.Length],
            ShockTrunkG = shockG / 2,
            Record = """{"absorptionTimeS":0.2}""",
        };
    }
}

using Microsoft.Data.Sqlite;
using Saltograph.Service.Tests.Durability;
using Saltograph.Service.Tests.Hosting;

namespace Saltograph.Service.Tests.Soak;

/// <summary>What goes wrong in it.</summary>
internal sealed partial class SoakHall
{
    /// <summary>Faults beside those that take turns.</summary>
    public const int DatabaseLock = 5, Flood = 6, None = 7, ClockAhead = 8, ClockBack = 9;

    private async Task FailAsync(int which)
    {
        switch (which)
        {
            case 0:
                await AcknowledgedAsync();
                await _gateway!.CutAsync();
                await _coach!.CutAsync();
                await _broker!.FinishAsync();
                await _broker.StartProcessAsync();
                await _gateway.ReconnectAsync();
                await _coach.ReconnectAsync();
                await MosquittoHallTests.ReadyAsync(_host!);
                break;
            case 1:
                await _coach!.CutAsync(); // for ten seconds
                break;
            case 2:
                await FloodAsync(2000);
                break;
            case 3:
                _disk.IsFull = true;
                _simulation.Advance(NowS + (2 * StepS), _arrived);
                await PublishAsync();
                await _disk.RefusedAsync(1);
                _disk.IsFull = false;
                break;
            case 4:
                foreach (var (topic, bytes) in _old)
                {
                    await PublishAsync(topic, bytes);
                    _published++;
                }

                break;
            case 5:
                await LockDatabaseAsync();
                break;
            case ClockAhead:
                _clock.SetBy(TimeSpan.FromSeconds(5));
                break;
            case ClockBack:
                _clock.SetBy(TimeSpan.FromSeconds(-5));
                break;
            case Flood:
                await FloodAsync(10_000);
                break;
            default:
                break;
        }
    }

    private double NowS => (_clock.GetUtcNow() - new DateTimeOffset(2027, 3, 1, 16, 0, 0, TimeSpan.Zero)).TotalSeconds;

    // Of a sensor that is known and of one that is not: bytes by chance, and right packets cut short.
    private async Task FloodAsync(int messages)
    {
        for (var i = 0; i < messages; i++)
        {
            var bytes = new byte[_random.Next(400)];
            _random.NextBytes(bytes);
            var sensor = i % 2 == 0 ? Roster.Sensors[_random.Next(Roster.Sensors.Count)].Sensor : "stranger";
            await PublishAsync(TestHall.Samples(sensor), i % 8 == 0 ? _old[i % _old.Count].Bytes[..^3] : bytes);
            _published += i % 2 == 0 ? 1 : 0;
        }
    }

    private async Task LockDatabaseAsync()
    {
        await using var other = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = Directory.GetFiles(_folder.Root, "saltograph.db", SearchOption.AllDirectories).Single(), Pooling = false }.ConnectionString);
        await other.OpenAsync(TestContext.Current.CancellationToken);
        await using var begin = other.CreateCommand();
        begin.CommandText = "BEGIN IMMEDIATE";
        await begin.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
        await Task.Delay(TimeSpan.FromSeconds(1), TestContext.Current.CancellationToken); // the fault itself takes its time
        begin.CommandText = "ROLLBACK";
        await begin.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }
}

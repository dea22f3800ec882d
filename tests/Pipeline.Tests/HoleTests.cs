using Saltograph.Imu;

namespace Saltograph.Pipeline.Tests;

/// <summary>Samples missing for longer than can be bridged.</summary>
public class HoleTests
{
    [Theory]
    [InlineData(3.8, 4.6)] // from before the take-off of the first jump (4.49 s) into the flight
    [InlineData(3.6, 4.3)] // while the swing of the legs has to be carried on by the gyroscope
    [InlineData(4.6, 5.3)] // over the landing (4.89 s)
    public void A_split_is_not_measured_across_a_hole_in_the_samples_of_a_shank(double fromS, double toS)
    {
        VirtualSensor[] sensors = [.. new[] { Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight }.Select(sensor => sensor with { KnowsOffset = true })];
        var messages = Runs.Merge([.. sensors.Select(sensor => sensor.Packets(0, 9))]);
        var whole = Runs.Run(Runs.New(sensors), messages);
        var holed = Runs.Run(Runs.New(sensors), messages.Where(message => message.Sensor != Runs.AnkleRight.Sensor
            || !(message.Received >= VirtualSensor.Start.PlusSeconds(fromS) && message.Received < VirtualSensor.Start.PlusSeconds(toS))));

        Assert.Equal(2, whole.Jumps.Count);
        Assert.All(whole.Jumps, jump => Assert.NotNull(jump.Jump.SplitAngleDeg));
        Assert.Equal(2, holed.Jumps.Count);
        Assert.Null(holed.Jumps[0].Jump.SplitAngleDeg);
        Assert.NotNull(holed.Jumps[1].Jump.SplitAngleDeg);
    }
}

using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline.Tests;

/// <summary>What happens to packets on their way, and to sensors.</summary>
public class SensorFaultTests
{
    private static readonly VirtualSensor Trunk = Runs.Trunk with { KnowsOffset = true };
    private static readonly VirtualSensor AnkleLeft = Runs.AnkleLeft with { KnowsOffset = true };

    [Fact]
    public void A_duplicate_is_dropped_and_counted()
    {
        var pipeline = Runs.New(Trunk);
        var packet = Trunk.Packets(0, 0.5)[0];
        var output = new PipelineOutput();
        pipeline.Push(packet.Sensor, packet.Packet, packet.Received, output);
        Assert.Equal(PacketOutcome.Accepted, output.Outcome);
        pipeline.Push(packet.Sensor, packet.Packet, packet.Received, output);
        Assert.Equal(PacketOutcome.Duplicate, output.Outcome);
        Assert.Equal((1, 1, 24), (pipeline.Counts(Trunk.Sensor).Accepted, pipeline.Counts(Trunk.Sensor).Duplicates, pipeline.Counts(Trunk.Sensor).Samples));
    }

    [Fact]
    public void Lost_packets_are_a_gap_and_a_packet_that_comes_after_that_is_late()
    {
        var packets = Trunk.Packets(0, 3);
        var pipeline = Runs.New(Trunk);
        var output = Runs.Push(pipeline, packets.Where((_, i) => i is not (20 or 21)));
        Assert.Equal(PacketOutcome.Accepted, output.Outcome);

        var gap = Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.Gap);
        Assert.Equal(2, gap.Count);
        Assert.Equal((2 * 24 * 0.0025) + 0.0025, gap.DurationS!.Value, 1e-6);
        Assert.Equal(VirtualSensor.Start.PlusSeconds(22 * 24 * 0.0025), gap.HallTime);

        pipeline.Push(Trunk.Sensor, packets[20].Packet, packets[^1].Received, output);
        Assert.Equal(PacketOutcome.Late, output.Outcome);
        Assert.Equal((2, 1), (pipeline.Counts(Trunk.Sensor).Lost, pipeline.Counts(Trunk.Sensor).Late));
    }

    [Fact]
    public void The_battery_is_told_when_it_falls_and_when_it_was_charged_and_not_when_it_wavers()
    {
        int?[] told = [52, 52, 51, 52, 53, 51, 50, null, 50, 54, 54, 49];
        var messages = told.SelectMany((percent, i) => (Trunk with { BatteryPercent = percent, FirstSequence = (uint)i }).Packets(i * 0.06, (i * 0.06) + 0.061));
        var rebooted = (Trunk with { BatteryPercent = 49, Boot = new(0xb008) }).Packets(2, 3);
        var output = Runs.Run(Runs.New(Trunk), [.. messages, .. rebooted]);
        Assert.Equal([52, 51, 50, 54, 49, 49], output.Sensors.Where(fact => fact.Kind == SensorFactKind.Battery).Select(fact => fact.Count));
    }

    [Fact]
    public void A_gap_is_given_up_when_half_a_second_of_data_has_come_after_it()
    {
        // Packets of 60 ms: after the first that came without the missing one there have to be more than 0.5 s: nine.
        var packets = Trunk.Packets(0, 3);
        var pipeline = Runs.New(Trunk);
        Runs.Push(pipeline, packets.Take(20));
        for (var after = 1; after <= 9; after++)
        {
            Assert.Empty(Runs.Push(pipeline, [packets[20 + after]]).Sensors);
        }

        Assert.Single(Runs.Push(pipeline, [packets[30]]).Sensors, fact => fact.Kind == SensorFactKind.Gap);
    }

    [Fact]
    public void Samples_that_the_sensor_left_out_are_a_gap_without_lost_packets()
    {
        var before = Trunk.Packets(0, 1.2);
        var after = (Trunk with { FirstSequence = (uint)before.Count }).Packets(1.3, 2.5);
        var output = Runs.Run(Runs.New(Trunk), [.. before, .. after]);
        var gap = Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.Gap);
        Assert.Equal((0, 0.1025), (gap.Count, Math.Round(gap.DurationS!.Value, 6)));
    }

    [Fact]
    public void Sequence_numbers_may_wrap()
    {
        var plain = Runs.Run(Runs.New(Trunk), Trunk.Packets(0, 9));
        var pipeline = Runs.New(Trunk);
        var random = new Random(4);
        var wrapping = Runs.Run(pipeline, Runs.Delay((Trunk with { FirstSequence = uint.MaxValue - 40 }).Packets(0, 9), () => 0.3 * random.NextDouble()));
        Assert.NotEmpty(plain.Jumps);
        Assert.Equal(Runs.Text(plain, withSensors: false), Runs.Text(wrapping, withSensors: false));
        Assert.Equal(0, pipeline.Counts(Trunk.Sensor).Lost);
    }

    [Fact]
    public void Another_boot_starts_sequence_and_clock_anew_and_the_old_boot_is_refused()
    {
        var first = Trunk.Packets(0, 3);
        var second = (Trunk with { Boot = new(0xb008), DeviceAtStartUs = -6_000_000, FirstSequence = 900_000 }).Packets(8, 16);
        var pipeline = Runs.New(Trunk);
        var output = Runs.Push(pipeline, [.. first, .. second]);
        Assert.Equal(new BootId(0xb008), Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.Reboot).Boot);

        pipeline.Push(Trunk.Sensor, first[^1].Packet, second[^1].Received, output);
        Assert.Equal(PacketOutcome.StaleBoot, output.Outcome);
        pipeline.Complete(output);

        Assert.Equal((2, 1), (pipeline.Counts(Trunk.Sensor).Boots, pipeline.Counts(Trunk.Sensor).StaleBoots));
        // Two jumps in the new power-up, at 10.49 and 13.49 s; they are named by its clock.
        Assert.Equal(2, output.Jumps.Count(jump => jump.Id.StartsWith("birch.t-1.0000b008.", StringComparison.Ordinal)));
        Assert.Equal(10.49, output.Jumps[^2].Jump.TakeoffTime - VirtualSensor.Start, 0.02);
    }

    [Fact]
    public void A_device_clock_that_is_set_back_within_a_boot_starts_anew()
    {
        var sensor = Runs.Trunk; // the offset is not stated: it has to be found again
        var before = sensor.Packets(0, 3);
        var after = (sensor with { DeviceAtStartUs = 1_000_000, FirstSequence = (uint)before.Count }).Packets(3, 12);
        var output = Runs.Run(Runs.New(sensor), [.. before, .. after]);
        Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.ClockRestart);
        Assert.Equal(3, output.Jumps.Count); // 4.49, 7.49 and 10.49 s
        Assert.Equal(7.49, output.Jumps[1].Jump.TakeoffTime - VirtualSensor.Start, 0.02);
    }

    [Fact]
    public void Times_that_have_to_go_back_start_the_detection_anew_and_numbers_go_on()
    {
        // Ten seconds of packets come at once and late, as after a connection that was lost before the service began.
        var packets = Runs.Trunk.Packets(0, 30);
        var backlog = packets.Count(packet => packet.Received - VirtualSensor.Start < 10);
        var messages = packets.Select((packet, i) => i < backlog
            ? packet with { Received = VirtualSensor.Start.PlusSeconds(10 + (0.001 * i)) }
            : packet with { Received = packet.Received.PlusSeconds(0.17) });
        var output = Runs.Run(Runs.New(Runs.Trunk), messages);

        Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.MotionRestart);
        Assert.Equal(Enumerable.Range(1, output.Jumps.Count), output.Jumps.Select(jump => jump.Jump.Number));
        Assert.Equal(output.Jumps.Count, output.Jumps.Select(jump => jump.Id).Distinct(StringComparer.Ordinal).Count());
        Assert.Contains(output.Jumps, jump => Math.Abs(jump.Jump.TakeoffTime - VirtualSensor.Start - 25.49 - 0.17) < 0.03);
    }

    [Fact]
    public void A_sensor_that_never_came_or_fell_silent_keeps_nobody_waiting_for_more_than_half_a_second()
    {
        var trunk = Trunk.Packets(0, 20);
        var ankle = AnkleLeft.Packets(0, 9);
        var pipeline = Runs.New(Trunk, AnkleLeft, Runs.AnkleRight);
        var output = new PipelineOutput();
        var worstS = 0.0;
        foreach (var message in Runs.Merge(trunk, ankle))
        {
            output.Clear();
            pipeline.Push(message.Sensor, message.Packet, message.Received, output);
            worstS = output.Landings.Aggregate(worstS, (worst, landing) => Math.Max(worst, message.Received - landing.Landing.LandingTime));
        }

        Assert.InRange(worstS, 0.001, 0.7);
    }

    [Fact]
    public void Silence_and_return_of_a_sensor_are_facts_and_what_it_sends_late_is_dropped()
    {
        var ankle = AnkleLeft.Packets(0, 20);
        var late = ankle.Select((packet, i) => i is > 100 and < 150 ? packet with { Received = packet.Received.PlusSeconds(5) } : packet);
        var pipeline = Runs.New(Trunk, AnkleLeft);
        var output = Runs.Run(pipeline, Runs.Merge(Trunk.Packets(0, 20), late));
        var kinds = string.Join(' ', output.Sensors.Where(fact => fact.Kind != SensorFactKind.ClockSynchronised).Select(fact => fact.Kind));
        Assert.Equal("Silent Gap Returned Overtaken", kinds);
        Assert.InRange(pipeline.Counts(AnkleLeft.Sensor).OvertakenSamples, 1, 24); // what the trunk had passed when it came back
        Assert.Equal(49, pipeline.Counts(AnkleLeft.Sensor).Lost);
        Assert.Equal(49, pipeline.Counts(AnkleLeft.Sensor).Late);
        Assert.Equal(6, output.Jumps.Count);
    }

    // Who reads the facts in the order of their times must not take a trunk that has started anew for silent.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    public void A_trunk_that_starts_anew_returns_after_it_fell_silent_in_the_order_of_time_too(double untilOffsetIsKnownS)
    {
        var anew = Trunk with { Boot = new(0xb008), DeviceAtStartUs = 1_000 };
        var trunk = Trunk.Packets(0, 9).Concat((anew with { KnowsOffset = false }).Packets(11, 11 + untilOffsetIsKnownS));
        var known = (anew with { FirstSequence = (uint)(untilOffsetIsKnownS / 0.06) }).Packets(11 + untilOffsetIsKnownS, 20);
        var output = Runs.Run(Runs.New(Trunk, AnkleLeft), Runs.Merge(trunk.Concat(known), AnkleLeft.Packets(0, 20)));
        var told = output.Sensors.Where(fact => fact.Kind is SensorFactKind.Silent or SensorFactKind.Returned).ToList();
        Assert.Equal([SensorFactKind.Silent, SensorFactKind.Returned], told.Select(fact => fact.Kind));
        Assert.True(told[1].HallTime > told[0].HallTime, $"silent at {told[0].HallTime}, back at {told[1].HallTime}");
    }

    [Fact]
    public void A_broken_packet_of_one_sensor_and_a_foreign_sensor_touch_nothing()
    {
        var messages = Runs.Merge(Trunk.Packets(0, 9), AnkleLeft.Packets(0, 9));
        var expected = Runs.Text(Runs.Run(Runs.New(Trunk, AnkleLeft), messages));
        var pipeline = Runs.New(Trunk, AnkleLeft);
        var output = new PipelineOutput();
        foreach (var message in messages)
        {
            pipeline.Push(AnkleLeft.Sensor, message.Packet.AsMemory(1), message.Received, output);
            Assert.Equal(PacketOutcome.Rejected, output.Outcome);
            Assert.Contains("allowed", output.Verdict.Message, StringComparison.Ordinal);
            pipeline.Push(new("stranger"), message.Packet, message.Received, output);
            Assert.Equal(PacketOutcome.UnknownSensor, output.Outcome);
            pipeline.Push(message.Sensor, message.Packet, message.Received, output);
            Assert.Equal(PacketOutcome.Accepted, output.Outcome);
        }

        pipeline.Complete(output);
        Assert.Equal(expected, Runs.Text(output));
        Assert.Equal(messages.Count, pipeline.Counts(AnkleLeft.Sensor).Rejected);
        Assert.Equal(messages.Count, pipeline.Faults.Rejected);
    }

    [Theory]
    [InlineData(48.0, PacketOutcome.UnsupportedRate)]
    [InlineData(49.5, PacketOutcome.Accepted)]
    [InlineData(2030, PacketOutcome.Accepted)]
    [InlineData(2060, PacketOutcome.UnsupportedRate)]
    public void Sample_rates_outside_the_range_are_refused(double rateHz, PacketOutcome outcome)
    {
        var output = new PipelineOutput();
        var message = (Trunk with { IntervalNs = (uint)Math.Round(1e9 / rateHz) }).Packets(0, 3)[0];
        Runs.New(Trunk).Push(Trunk.Sensor, message.Packet, message.Received, output);
        Assert.Equal(outcome, output.Outcome);
    }

    [Fact]
    public void A_wrong_interval_is_found_out_by_the_stamps()
    {
        // Stated 2.5 ms, really 2 per cent less.
        var sensor = Trunk with { IntervalNs = 2_450_000, StatedIntervalNs = 2_500_000 };
        var output = Runs.Run(Runs.New(sensor), sensor.Packets(0, 30));
        Assert.Equal(408, Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.RateChange).Count);
        Assert.DoesNotContain(output.Sensors, fact => fact.Kind == SensorFactKind.Gap);
    }

    [Fact]
    public void Jumps_say_so_while_a_clock_is_not_known()
    {
        var random = new Random(9);
        var output = Runs.Run(Runs.New(Runs.Trunk), Runs.Delay(Runs.Trunk.Packets(0, 40), () => 0.01 * random.NextDouble()));
        var known = Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.ClockSynchronised).HallTime;
        Assert.InRange(known - VirtualSensor.Start, 9, 20);
        Assert.Contains(output.Jumps, jump => jump.Jump.TakeoffTime < known);
        Assert.All(output.Jumps, jump => Assert.Equal(
            jump.Jump.TakeoffTime < known,
            jump.Jump.Quality.Contains(QualityWords.ClockUnsynchronised, StringComparer.Ordinal)));
    }

    [Fact]
    public void One_packet_with_a_damaged_boot_id_ends_nothing()
    {
        var packets = Trunk.Packets(0, 9);
        var damaged = (Trunk with { Boot = new(0xdead) }).Packets(0, 9)[70];
        var pipeline = Runs.New(Trunk);
        var output = Runs.Run(pipeline, [.. packets.Take(70), damaged, damaged, .. packets.Skip(70)]);
        Assert.Equal(Runs.Text(Runs.Run(Runs.New(Trunk), packets)), Runs.Text(output));
        Assert.Equal((1, 1), (pipeline.Counts(Trunk.Sensor).Boots, pipeline.Counts(Trunk.Sensor).Duplicates));
    }

    [Fact]
    public void A_sequence_number_that_leaves_no_time_for_what_is_missing_is_refused()
    {
        var packets = Trunk.Packets(0, 3);
        var ahead = (Trunk with { FirstSequence = 1_000_000 }).Packets(0, 3);
        var pipeline = Runs.New(Trunk);
        var output = Runs.Push(pipeline, packets.Take(20));
        pipeline.Push(Trunk.Sensor, ahead[20].Packet, ahead[20].Received, output);
        Assert.Equal(PacketOutcome.Contradictory, output.Outcome);
        output = Runs.Run(pipeline, packets.Skip(20));
        Assert.DoesNotContain(output.Sensors, fact => fact.Kind == SensorFactKind.Gap);
        Assert.Equal((1, 0), (pipeline.Counts(Trunk.Sensor).Contradictory, pipeline.Counts(Trunk.Sensor).Lost));
    }

    [Fact]
    public void A_boot_id_that_is_used_twice_costs_five_seconds()
    {
        // The sensor starts again at 10 s with the same boot id, sequence and clock as at first.
        var first = Trunk.Packets(0, 9);
        var again = (Trunk with { DeviceAtStartUs = Trunk.DeviceAtStartUs - 10_000_000 }).Packets(10, 24);
        var pipeline = Runs.New(Trunk);
        var output = Runs.Run(pipeline, [.. first, .. again]);
        var reboot = Assert.Single(output.Sensors, fact => fact.Kind == SensorFactKind.Reboot);
        Assert.Equal(15, reboot.HallTime - VirtualSensor.Start, 0.2);
        Assert.InRange(output.Jumps.Count(jump => jump.Jump.TakeoffTime > reboot.HallTime), 2, 3); // 16.49, 19.49, 22.49 s
    }

    [Fact]
    public void Packets_that_are_sent_again_after_a_long_break_are_no_new_start()
    {
        // Thirty seconds of packets come a second time, at once, while the sensor sends on.
        var packets = Trunk.Packets(0, 60);
        var again = packets.Where((_, i) => i is > 300 and < 800).Select((packet, i) => packet with { Received = VirtualSensor.Start.PlusSeconds(50 + (0.004 * i)) });
        var pipeline = Runs.New(Trunk);
        var output = Runs.Run(pipeline, Runs.Merge(packets, again));
        Assert.DoesNotContain(output.Sensors, fact => fact.Kind == SensorFactKind.Reboot);
        Assert.Equal(499, pipeline.Counts(Trunk.Sensor).Duplicates);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Damaged_packets_that_still_read_well_do_not_stop_the_stream(int seed)
    {
        // Whole packets with wrong bytes in their header: clocks, sequence numbers, boots, intervals from anywhere, for 30 s.
        var random = new Random(seed);
        var pipeline = Runs.New(Trunk, AnkleLeft);
        var output = new PipelineOutput();
        foreach (var message in Runs.Merge(Trunk.Packets(0, 60), AnkleLeft.Packets(0, 60)))
        {
            if (random.Next(20) == 0 && message.Received - VirtualSensor.Start < 30)
            {
                var mutated = message.Packet.ToArray();
                mutated[random.Next(2, 50)] = (byte)random.Next(256);
                pipeline.Push(message.Sensor, mutated, message.Received, output);
            }

            pipeline.Push(message.Sensor, message.Packet, message.Received, output);
        }

        pipeline.Complete(output);
        Assert.True(pipeline.Faults.Rejected > 0);
        Assert.All(output.Jumps, jump => Assert.InRange(jump.Jump.FlightTimeS, 0.2, 1));
        // Jumps at 37.49, 40.49 ... 58.49 s: seven seconds after the last damage everything is as it should be.
        var after = output.Jumps.Select(jump => jump.Jump.TakeoffTime - VirtualSensor.Start).Where(takeoffS => takeoffS > 37).ToArray();
        Assert.Equal(8, after.Length);
        Assert.All(after, (takeoffS, i) => Assert.Equal(37.49 + (3 * i), takeoffS, 0.05));
    }
}

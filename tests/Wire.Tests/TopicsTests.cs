using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Wire.Tests;

public class TopicsTests
{
    private static readonly HallId Hall = new("hall-1");
    private static readonly SensorId Sensor = new("s-07");
    private static readonly AthleteId Athlete = new("birch");

    [Theory]
    [InlineData(SensorTopic.Samples, "saltograph/v1/hall-1/sensors/s-07/samples", 1, false)]
    [InlineData(SensorTopic.State, "saltograph/v1/hall-1/sensors/s-07/state", 1, true)]
    [InlineData(SensorTopic.Clock, "saltograph/v1/hall-1/sensors/s-07/clock", 0, false)]
    [InlineData(SensorTopic.ClockAnswer, "saltograph/v1/hall-1/sensors/s-07/clock/answer", 0, false)]
    [InlineData(SensorTopic.Faults, "saltograph/v1/hall-1/sensors/s-07/faults", 1, false)]
    public void Sensor_topics_are_those_of_the_contract(SensorTopic kind, string topic, int qualityOfService, bool isRetained)
    {
        Assert.Equal(topic, Topics.Of(Hall, Sensor, kind));
        Assert.Equal(qualityOfService, Topics.QualityOfService(kind));
        Assert.Equal(isRetained, Topics.IsRetained(kind));
        Assert.True(Topics.TryParseSensor(topic, out var hall, out var sensor, out var parsed));
        Assert.Equal((Hall, Sensor, kind), (hall, sensor, parsed));
        Assert.False(Topics.TryParseAthlete(topic, out _, out _, out _));
    }

    [Theory]
    [InlineData(AthleteTopic.Landings, "saltograph/v1/hall-1/athletes/birch/landings", 1, false)]
    [InlineData(AthleteTopic.Jumps, "saltograph/v1/hall-1/athletes/birch/jumps", 1, false)]
    [InlineData(AthleteTopic.Load, "saltograph/v1/hall-1/athletes/birch/load", 1, true)]
    [InlineData(AthleteTopic.Warnings, "saltograph/v1/hall-1/athletes/birch/warnings", 1, false)]
    [InlineData(AthleteTopic.Live, "saltograph/v1/hall-1/athletes/birch/live", 0, false)]
    public void Athlete_topics_are_those_of_the_contract(AthleteTopic kind, string topic, int qualityOfService, bool isRetained)
    {
        Assert.Equal(topic, Topics.Of(Hall, Athlete, kind));
        Assert.Equal(qualityOfService, Topics.QualityOfService(kind));
        Assert.Equal(isRetained, Topics.IsRetained(kind));
        Assert.True(Topics.TryParseAthlete(topic, out var hall, out var athlete, out var parsed));
        Assert.Equal((Hall, Athlete, kind), (hall, athlete, parsed));
        Assert.False(Topics.TryParseSensor(topic, out _, out _, out _));
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("saltograph/v1/")]
    [InlineData("/saltograph/v1/hall-1/sensors/s-07/samples")]
    [InlineData("saltograph/v2/hall-1/sensors/s-07/samples")]
    [InlineData("saltograph/v1/hall-1/sensors/s-07")]
    [InlineData("saltograph/v1/hall-1/sensors/s-07/samples/")]
    [InlineData("saltograph/v1/hall-1/sensors/s-07/samples/more")]
    [InlineData("saltograph/v1/hall-1/sensors//samples")]
    [InlineData("saltograph/v1/Hall/sensors/s-07/samples")]
    [InlineData("saltograph/v1/hall-1/sensors/s_07/samples")]
    [InlineData("saltograph/v1/hall-1/sensors/+/samples")]
    [InlineData("saltograph/v1/hall-1/sensors/012345678901234567890123456789012/samples")]
    [InlineData("saltograph/v1/hall-1/sensors/s-07/Samples")]
    public void Other_topics_are_refused(string? topic)
    {
        Assert.False(Topics.TryParseSensor(topic, out _, out _, out _));
        Assert.False(Topics.TryParseAthlete(topic, out _, out _, out _));
    }

    [Property]
    public void No_text_makes_parsing_throw(string? text)
    {
        foreach (var topic in new[] { text, "saltograph/v1/" + text, "saltograph/v1/hall/sensors/" + text, "saltograph/v1/hall/athletes/" + text })
        {
            if (Topics.TryParseSensor(topic, out var hall, out var sensor, out var sensorTopic))
            {
                Assert.Equal(topic, Topics.Of(hall, sensor, sensorTopic));
            }

            if (Topics.TryParseAthlete(topic, out hall, out var athlete, out var athleteTopic))
            {
                Assert.Equal(topic, Topics.Of(hall, athlete, athleteTopic));
            }
        }
    }

    [Fact]
    public void Filters_take_one_kind_of_message_of_all()
    {
        Assert.Equal("saltograph/v1/hall-1/sensors/+/samples", Topics.AllSensors(Hall, SensorTopic.Samples));
        Assert.Equal("saltograph/v1/+/sensors/+/state", Topics.AllSensors(null, SensorTopic.State));
        Assert.Equal("saltograph/v1/+/athletes/+/jumps", Topics.AllAthletes(null, AthleteTopic.Jumps));
    }
}

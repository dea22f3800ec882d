using MQTTnet;
using MQTTnet.Protocol;

namespace Saltograph.Service.Ingest;

/// <summary>Our messages as the library's.</summary>
internal static class MqttMessages
{
    /// <summary>The same message for MQTTnet.</summary>
    public static MqttApplicationMessage ToMqtt(this OutgoingMessage message) => new()
    {
        Topic = message.Topic,
        PayloadSegment = new(message.Payload),
        ContentType = message.ContentType,
        QualityOfServiceLevel = message.QualityOfService == 0 ? MqttQualityOfServiceLevel.AtMostOnce : MqttQualityOfServiceLevel.AtLeastOnce,
        Retain = message.Retain,
        CorrelationData = message.CorrelationData,
    };
}

using Saltograph.Wire.Packets;

namespace Saltograph.Fuzz.Targets;

/// <summary>Bytes of an MQTT message as a packet. What is accepted is finite, within the format, and the same when it is written and read again.</summary>
internal sealed class PacketTarget
{
    private readonly PacketReader _reader = new();
    private readonly PacketReader _again = new();
    private readonly PacketWriter _writer = new();
    private readonly PacketBuffer _buffer = new();
    private readonly PacketBuffer _second = new();
    private readonly short[] _counts = new short[PacketFormat.MostSamples * PacketFormat.AxesPerSample];

    public void Try(ReadOnlyMemory<byte> input)
    {
        var verdict = _reader.TryRead(input, _buffer);
        Catalogue.Must(verdict.IsAccepted == (_buffer.Count > 0), "accepted exactly when there are samples");
        Catalogue.Must(_buffer.Count <= PacketFormat.MostSamples, "at most the largest number of samples");
        Catalogue.Must(verdict.ToString()!.Length > 0, "a verdict has words");
        if (!verdict.IsAccepted)
        {
            return;
        }

        for (var i = 0; i < _buffer.Count; i++)
        {
            var (force, rate, field) = (_buffer.SpecificForceSensorMps2(i), _buffer.AngularRateSensorRadps(i), _buffer.MagneticFieldSensorUT(i));
            Catalogue.Must(double.IsFinite(force.X + force.Y + force.Z + rate.X + rate.Y + rate.Z), "finite samples");
            Catalogue.Must(field is not { } b || double.IsFinite(b.X + b.Y + b.Z), "a finite field");
            for (var axis = 0; axis < PacketFormat.AxesPerSample; axis++)
            {
                _counts[(i * PacketFormat.AxesPerSample) + axis] = _buffer.RawCount(i, axis);
            }
        }

        // Without magnetometer: its counts are not given out.
        if (!_buffer.HasMagnetometer)
        {
            var written = _writer.Write(_buffer.Header, _counts.AsSpan(0, _buffer.Count * PacketFormat.AxesPerSample));
            var second = _again.TryRead(written, _second);
            Catalogue.Must(second.IsAccepted && _second.Count == _buffer.Count && _second.Header.Equals(_buffer.Header), $"read again as it was written: {second}");
            Catalogue.Must(_second.SpecificForceSensorMps2(_buffer.Count - 1) == _buffer.SpecificForceSensorMps2(_buffer.Count - 1), "the same samples");
        }
    }
}

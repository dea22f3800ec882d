using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Starts a filter from the first usable accelerometer and magnetometer directions.</summary>
internal static class FirstDirections
{
    /// <summary>Levels once; true when this sample did it.</summary>
    public static bool Level(ref Rotation earthFromSensor, ref bool levelled, in Vector3D specificForce)
    {
        if (levelled || specificForce.LengthSquared == 0)
        {
            return false;
        }

        // What the gyroscope has turned since the start (in free flight, say) stays in the heading.
        var correction = Rotation.Shortest(earthFromSensor.Rotate(specificForce), Vector3D.UnitZ);
        earthFromSensor = (correction * earthFromSensor).Normalized();
        levelled = true;
        return true;
    }

    /// <summary>Turns magnetic north onto +y once, after levelling; true when this sample did it.</summary>
    public static bool Head(ref Rotation earthFromSensor, ref bool headed, bool levelled, in Vector3D magneticField)
    {
        if (headed || !levelled)
        {
            return false;
        }

        var field = earthFromSensor.Rotate(magneticField);
        if (field.X == 0 && field.Y == 0)
        {
            return false;
        }

        earthFromSensor = (Rotation.AboutVertical(Math.Atan2(field.X, field.Y)) * earthFromSensor).Normalized();
        headed = true;
        return true;
    }
}

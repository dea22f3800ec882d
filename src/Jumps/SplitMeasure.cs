using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Opening of the legs in the air.</summary>
/// <param name="LargestDeg">Largest sum of both shanks' inclinations from hanging straight down, deg.</param>
/// <param name="AtPeakDeg">The same at the highest point, deg.</param>
/// <param name="HoldFraction">Share of the flight above 90 per cent of the largest.</param>
/// <param name="Bridged">Whether samples of a shank were lost or clipped on the way, so that part of its turn was guessed.</param>
/// <param name="SignDeg">What it may be off by if front and rear were told wrongly, 1 sigma, deg.</param>
/// <remarks>
/// The accelerometer says nothing about inclination in the air; the gyroscope carries it on from the floor. Each shank has
/// a heading of its own without magnetometers, so the two inclinations are added, with the signs of front and rear as each
/// sensor's own swing axis tells them: exact when both legs lie in one vertical plane, too large when they open sideways
/// (85 + 80 deg with 20 deg of azimuth is 155 between the legs), and right above 180, where the angle between the legs
/// would fall again. A bent knee makes the shank no longer the leg.
/// </remarks>
internal readonly record struct SplitMeasure(double LargestDeg, double AtPeakDeg, double HoldFraction, bool Bridged, double SignDeg)
{
    private const double HoldShare = 0.9;

    // Longer back the swing before the leap is carried along, shorter it has pulled the vertical already: 0.25 to 0.8 s do alike.
    private const double CarriedFromS = 0.5;

    private const double SignSeldomWrong = 0.3;
    private const double SignDoubtful = 0.8;

    // From one foot to the other, the legs part: two shanks this far out are one in front and one behind, whatever a swing
    // axis that is not yet sure of its sign says. A front shank that is folded back under its thigh stays below it.
    private const double PartedDeg = 40;

    // From two feet to two, legs that do not part do the same: heels to the seat, knees to the chest. While front and rear are not known, so do legs that hang.
    private const double TogetherDeg = 45;
    private const double HangingDeg = 15;

    /// <summary>Measures over the flight; null when an axis is not known or a shank's turning was not measured all the way.</summary>
    public static SplitMeasure? Find(SampleTrack left, SampleTrack right, SampleTime takeoff, SampleTime peak, SampleTime landing, JumpForm? form)
    {
        if (left.UpSensor is not { } leftUp || right.UpSensor is not { } rightUp
            || !IsCarried(left, takeoff, landing) || !IsCarried(right, takeoff, landing))
        {
            return null;
        }

        // On the left shank's own samples, the right one read at the same instants.
        var first = left.IndexAtOrAfter(takeoff);
        var end = left.IndexAtOrAfter(landing);
        var splits = new double[end - first];
        var signs = new double[end - first];
        var leftCarried = Carried(left, takeoff, landing);
        var rightCarried = Carried(right, takeoff, landing);
        var rightFirst = CarriedFrom(right, takeoff);
        var leftFirst = CarriedFrom(left, takeoff);
        for (var i = first; i < end; i++)
        {
            var a = InclinationDeg(left, leftCarried[(int)(i - leftFirst)], leftUp);
            var j = right.IndexNearest(left[i].Time);
            var b = InclinationDeg(right, rightCarried[(int)(j - rightFirst)], rightUp);
            signs[i - first] = IfSignIsWrongDeg(a, b, form);
            splits[i - first] = AngleDeg(a, b, form, left.LeftSensor is not null && right.LeftSensor is not null);
        }

        if (splits.Length == 0)
        {
            return null;
        }

        var largest = splits.Max();
        var atPeak = splits[(int)Math.Clamp(left.IndexAtOrAfter(peak) - first, 0, splits.Length - 1)];
        return new(largest, atPeak, splits.Count(split => split > HoldShare * largest) / (double)splits.Length,
            left.TurnGuessed(takeoff.PlusSeconds(-CarriedFromS), landing) || right.TurnGuessed(takeoff.PlusSeconds(-CarriedFromS), landing),
            signs[Array.IndexOf(splits, largest)]);
    }

    /// <summary>Split angle of two inclinations, deg.</summary>
    /// <param name="leftDeg">Left shank from hanging, positive to the front, deg.</param>
    /// <param name="rightDeg">Right shank likewise.</param>
    /// <param name="form">Form of the jump.</param>
    /// <param name="signed">Whether front and rear of both are known.</param>
    internal static double AngleDeg(double leftDeg, double rightDeg, JumpForm? form, bool signed)
    {
        var (least, most) = (Math.Min(Math.Abs(leftDeg), Math.Abs(rightDeg)), Math.Max(Math.Abs(leftDeg), Math.Abs(rightDeg)));
        var parted = form == JumpForm.Leap && least > PartedDeg;
        var together = form == JumpForm.Jump && most < TogetherDeg && (least > HangingDeg || !signed);
        return together ? most - least : !parted && Math.Sign(leftDeg) == Math.Sign(rightDeg) && signed ? Math.Abs(leftDeg - rightDeg) : most + least;
    }

    /// <summary>
    /// With one sign wrong the sum becomes the difference: apart by twice the smaller inclination. In a leap the legs part, so that two legs on
    /// one side are rather a wrong sign than a folded leg; otherwise a sign is taken to be wrong in one jump of ten (assumed: 0.3 is the root of a tenth).
    /// </summary>
    private static double IfSignIsWrongDeg(double leftDeg, double rightDeg, JumpForm? form)
    {
        var otherDeg = 2 * Math.Min(Math.Abs(leftDeg), Math.Abs(rightDeg));
        return form != JumpForm.Leap ? SignSeldomWrong * otherDeg
            : Math.Sign(leftDeg) == Math.Sign(rightDeg) && otherDeg < 2 * PartedDeg ? SignDoubtful * otherDeg
            : 0;
    }

    /// <summary>Whether the shank's turning was measured from before the take-off to the landing: it cannot be carried across a hole.</summary>
    internal static bool IsCarried(SampleTrack shank, SampleTime takeoff, SampleTime landing) =>
        shank.Covers(takeoff, landing) && !shank.HasHole(takeoff.PlusSeconds(-CarriedFromS), takeoff);

    /// <summary>Number of the first sample of <see cref="Carried"/>.</summary>
    internal static long CarriedFrom(SampleTrack shank, SampleTime takeoff) => shank.IndexAtOrAfter(takeoff.PlusSeconds(-CarriedFromS));

    /// <summary>Orientations from before the take-off on, carried by the gyroscope alone: the swing of the legs must not count as gravity.</summary>
    internal static Rotation[] Carried(SampleTrack shank, SampleTime takeoff, SampleTime landing)
    {
        var first = CarriedFrom(shank, takeoff);
        var end = Math.Min(shank.End, shank.IndexAtOrAfter(landing) + 2);
        var carried = new Rotation[end - first];
        carried[0] = shank[first].EarthFromSensor;
        for (var i = first + 1; i < end; i++)
        {
            ref readonly var before = ref shank[i - 1];
            ref readonly var now = ref shank[i];
            var rate = (before.EarthFromSensor.Inverse.Rotate(before.AngularRateEarthRadps) + now.EarthFromSensor.Inverse.Rotate(now.AngularRateEarthRadps)) / 2;
            carried[i - first] = carried[i - first - 1] * Rotation.FromRotationVector((now.Time - before.Time) * rate);
        }

        return carried;
    }

    /// <summary>
    /// Angle between the shank, seen from the knee to the ankle, and straight down, deg, -180 to 180: positive to the front,
    /// negative to the rear; without a sign, positive, while front and rear are not known.
    /// </summary>
    internal static double InclinationDeg(SampleTrack shank, Rotation toEarth, Vector3D upSensor)
    {
        var upEarth = toEarth.Rotate(upSensor);
        var size = Math.Atan2(Math.Sqrt((upEarth.X * upEarth.X) + (upEarth.Y * upEarth.Y)), upEarth.Z) * Angles.DegPerRad;
        if (shank.LeftSensor is not { } leftSensor)
        {
            return size;
        }

        // Forward is left x vertical; the ankle is to the front when the upper end leans back.
        var forwardEarth = Vector3D.Cross(toEarth.Rotate(leftSensor), Vector3D.UnitZ);
        return Vector3D.Dot(upEarth, forwardEarth) <= 0 ? size : -size;
    }
}

using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace Saltograph.Board.Live;

/// <summary>What a strip shows: sixteen pieces of half a second, drawn in a sweep from left to right and over the oldest.</summary>
/// <param name="Vertical">Path of each piece: vertical acceleration; empty where nothing is known.</param>
/// <param name="Turn">Path of each piece: turn rate.</param>
/// <param name="CursorX">Where the sweep is now, in the drawing's units.</param>
public sealed record StripFrame(ImmutableArray<string> Vertical, ImmutableArray<string> Turn, double CursorX)
{
    /// <summary>Nothing drawn yet.</summary>
    public static StripFrame Empty { get; } = new(StripSweep.Nothing, StripSweep.Nothing, 0);
}

/// <summary>
/// Draws bins as pieces of a path. Only the piece at the sweep changes from one tick to the next, so that a screen gets a few hundred
/// bytes and nothing on it slides.
/// </summary>
public sealed class StripSweep
{
    /// <summary>Pieces of a sweep.</summary>
    public const int Pieces = 16;

    /// <summary>Width of the drawing, and heights of its two bands.</summary>
    public const double Width = 320, VerticalHeight = 56, TurnHeight = 36;

    /// <summary>Bounds of the bands: vertical acceleration in g, turn rate in deg/s.</summary>
    public const double LeastG = -1.5, MostG = 5, MostDps = 900;

    private const int BinsPerPiece = 20;
    private const double PieceWidth = Width / Pieces;
    private const double BinWidth = PieceWidth / BinsPerPiece;
    private const double GravityMps2 = Imu.Gravity.StandardMps2;

    private readonly string[] _vertical = [.. Nothing];
    private readonly string[] _turn = [.. Nothing];
    private readonly StringBuilder _verticalPath = new();
    private readonly StringBuilder _turnPath = new();
    private long _piece = long.MinValue;
    private long _lastBin = long.MinValue;
    private (double Y, double TurnY) _last;

    internal static ImmutableArray<string> Nothing { get; } = [.. Enumerable.Repeat("", Pieces)];

    /// <summary>Draws further bins; those that are not after the last one are left out.</summary>
    public void Add(IReadOnlyList<MotionBin> bins)
    {
        foreach (var bin in bins)
        {
            if (bin.Index > _lastBin)
            {
                Add(bin);
            }
        }
    }

    /// <summary>What is drawn by now.</summary>
    public StripFrame Frame() => _lastBin == long.MinValue
        ? StripFrame.Empty
        : new([.. _vertical], [.. _turn], Math.Round(X(_lastBin) + BinWidth, 1));

    /// <summary>Height of an acceleration in its band, from the top.</summary>
    public static double VerticalY(double g) => VerticalHeight * (MostG - Math.Clamp(g, LeastG, MostG)) / (MostG - LeastG);

    /// <summary>Height of a turn rate in its band, from the top.</summary>
    public static double TurnY(double dps) => TurnHeight / 2 * (1 - (Math.Clamp(dps, -MostDps, MostDps) / MostDps));

    private static double X(long bin) => (bin % (Pieces * BinsPerPiece)) * BinWidth;

    private void Add(MotionBin bin)
    {
        var piece = bin.Index / BinsPerPiece;
        var joins = bin.Index == _lastBin + 1;
        if (piece != _piece)
        {
            Clear(piece);
            _verticalPath.Clear();
            _turnPath.Clear();
            if (joins && piece % Pieces != 0)
            {
                Point(_verticalPath, 'M', X(_lastBin), _last.Y);
                Point(_turnPath, 'M', X(_lastBin), _last.TurnY);
            }
            else
            {
                joins = false;
            }
        }

        var (x, high, low, turn) = (X(bin.Index), VerticalY(bin.MostMps2 / GravityMps2), VerticalY(bin.LeastMps2 / GravityMps2), TurnY(bin.TurnRateDps));
        Point(_verticalPath, joins ? 'L' : 'M', x, low);
        if (low - high > 0.6)
        {
            Point(_verticalPath, 'L', x, high);
        }

        Point(_turnPath, joins ? 'L' : 'M', x, turn);
        (_piece, _lastBin, _last) = (piece, bin.Index, (low - high > 0.6 ? high : low, turn));
        _vertical[piece % Pieces] = _verticalPath.ToString();
        _turn[piece % Pieces] = _turnPath.ToString();
    }

    // Pieces that were jumped over in a silence, and the one ahead of the sweep: what is there is a sweep old.
    private void Clear(long piece)
    {
        var from = _piece == long.MinValue ? piece : Math.Max(_piece + 1, piece - Pieces + 1);
        for (var i = from; i <= piece + 1; i++)
        {
            _vertical[i % Pieces] = _turn[i % Pieces] = "";
        }
    }

    private static void Point(StringBuilder path, char step, double x, double y) =>
        path.Append(CultureInfo.InvariantCulture, $"{step}{x:0.#} {y:0.#}");
}

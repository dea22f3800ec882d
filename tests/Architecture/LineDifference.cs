namespace Saltograph.Architecture;

/// <summary>What has to be taken out of one text and put in to make another of it, line by line in their order.</summary>
internal static class LineDifference
{
    /// <summary>The changed lines: <c>- </c> for one that goes, <c>+ </c> for one that comes; none when the texts are equal.</summary>
    /// <remarks>By the longest common subsequence, so that a line that moved, or stands there once more, shows as well.</remarks>
    public static IReadOnlyList<string> Of(IReadOnlyList<string> before, IReadOnlyList<string> after)
    {
        var common = new int[before.Count + 1, after.Count + 1]; // of what is left from here on
        for (var i = before.Count - 1; i >= 0; i--)
        {
            for (var j = after.Count - 1; j >= 0; j--)
            {
                common[i, j] = before[i] == after[j] ? common[i + 1, j + 1] + 1 : Math.Max(common[i + 1, j], common[i, j + 1]);
            }
        }

        var lines = new List<string>();
        var (left, right) = (0, 0);
        while (left < before.Count || right < after.Count)
        {
            if (left < before.Count && right < after.Count && before[left] == after[right])
            {
                (left, right) = (left + 1, right + 1);
            }
            else if (right == after.Count || (left < before.Count && common[left + 1, right] >= common[left, right + 1]))
            {
                lines.Add("- " + before[left++]);
            }
            else
            {
                lines.Add("+ " + after[right++]);
            }
        }

        return lines;
    }
}

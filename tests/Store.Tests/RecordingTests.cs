using FsCheck.Xunit;
using Microsoft.Win32.SafeHandles;
using Saltograph.Store.Recordings;

namespace Saltograph.Store.Tests;

public sealed class RecordingTests : IDisposable
{
    private static readonly RecordingHeader Header = new()
    {
        Athlete = "amber",
        OpenedUs = MadeUp.MorningUs,
        Hall = "hall-1",
        Sensors = new Dictionary<string, string>(StringComparer.Ordinal) { ["a-trunk"] = "trunk", ["a-left"] = "ankle-left" },
        Settings = "{}",
        Program = "0.1.0",
    };

    private readonly TemporaryFolder _folder = new();

    private RecordingOptions Options => new() { Folder = _folder.Root, LargestFileBytes = 2000 };

    [Fact]
    public void Packets_come_back_in_order_over_several_files()
    {
        using (var writer = RecordingWriter.Begin(new RecordingDisk(), Options, Header))
        {
            for (var number = 0; number < 100; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
                writer.Write();
            }
        }

        var found = RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs);
        Assert.InRange(found.Files.Count, 4, 50);
        AssertHolds(found, 100);
        Assert.True(found.Header!.IsMeasuredLike(Header));
        Assert.Equal(Header.Id, found.Header.Id);
        Assert.Equal(found.Files, RecordingFiles.OfFile(found.Files[2])!.Files);
        Assert.Equal("amber", Assert.Single(RecordingFiles.All(_folder.Root)).Header!.Athlete);
    }

    // NIST SP 800-38D: without the key nothing of a packet is to be read, and a changed byte is noticed.
    [Fact]
    public void Sealed_packets_come_back_with_the_key_of_the_athlete_only()
    {
        var (key, other) = (System.Security.Cryptography.RandomNumberGenerator.GetBytes(RecordingSeal.KeyBytes), new byte[RecordingSeal.KeyBytes]);
        using (var writer = RecordingWriter.Begin(new RecordingDisk(), Options, Header with { IsSealed = true }, key))
        {
            for (var number = 0; number < 100; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
                writer.Write();
            }
        }

        RecordingFiles Found(byte[]? with)
        {
            var found = RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs);
            found.Key = with;
            return found;
        }

        Assert.True(Found(null).Header!.IsSealed);
        AssertHolds(Found(key), 100);
        Assert.Throws<StoreException>(() => Found(null).Packets().Count());
        Assert.Throws<StoreException>(() => Found(other).Packets().Count());
        Assert.All(Found(null).Files, file => Assert.True(File.ReadAllBytes(file).AsSpan().IndexOf(Packet(50)) < 0));

        var last = Found(key).Files[^1];
        var bytes = File.ReadAllBytes(last);
        bytes[^1] ^= 1;
        File.WriteAllBytes(last, bytes);
        Assert.Throws<StoreException>(() => Found(key).Packets().Count());
    }

    // A sealed recording goes on after a crash as an open one does.
    [Fact]
    public void A_sealed_recording_goes_on_behind_its_last_packet()
    {
        var key = System.Security.Cryptography.RandomNumberGenerator.GetBytes(RecordingSeal.KeyBytes);
        using (var writer = RecordingWriter.Begin(new RecordingDisk(), Options, Header with { IsSealed = true }, key))
        {
            writer.Add(0, "a-trunk", Packet(0));
            writer.Write();
        }

        var files = RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs);
        files.Key = key;
        Assert.Single(files.Packets());
        using (var writer = RecordingWriter.Continue(new RecordingDisk(), Options, files.Header!, files))
        {
            writer.Add(1, "a-trunk", Packet(1));
            writer.Write();
        }

        files = RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs);
        files.Key = key;
        AssertHolds(files, 2);
    }

    // RFC 8742 section 2: a sequence that is cut ends with the last whole item before the cut.
    [Property(MaxTest = 60)]
    public void A_file_cut_anywhere_is_whole_up_to_the_cut_and_goes_on_from_there(uint place)
    {
        using var folder = new TemporaryFolder();
        var options = new RecordingOptions { Folder = folder.Root };
        using (var writer = RecordingWriter.Begin(new RecordingDisk(), options, Header))
        {
            for (var number = 0; number < 10; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
            }

            writer.Write();
        }

        var file = Assert.Single(RecordingFiles.Find(folder.Root, "amber", MadeUp.MorningUs).Files);
        var whole = File.ReadAllBytes(file);
        File.WriteAllBytes(file, whole[..(int)(place % (whole.Length + 1))]);

        var torn = RecordingFiles.Find(folder.Root, "amber", MadeUp.MorningUs);
        var left = torn.Packets().Count();
        AssertHolds(torn, left);
        using (var writer = RecordingWriter.Continue(new RecordingDisk(), options, Header, torn))
        {
            for (var number = left; number < 10; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
            }

            writer.Write();
        }

        Assert.Equal(whole, File.ReadAllBytes(file));
    }

    // The same for one that is sealed: what is whole opens, what is torn is cut off, and the nonces of what is written again are others.
    [Property(MaxTest = 60)]
    public void A_sealed_file_cut_anywhere_opens_up_to_the_cut_and_goes_on_from_there(uint place)
    {
        using var folder = new TemporaryFolder();
        var options = new RecordingOptions { Folder = folder.Root };
        var key = System.Security.Cryptography.RandomNumberGenerator.GetBytes(RecordingSeal.KeyBytes);
        var header = Header with { IsSealed = true };
        RecordingFiles Find()
        {
            var found = RecordingFiles.Find(folder.Root, "amber", MadeUp.MorningUs);
            found.Key = key;
            return found;
        }

        using (var writer = RecordingWriter.Begin(new RecordingDisk(), options, header, key))
        {
            for (var number = 0; number < 10; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
            }

            writer.Write();
        }

        var file = Assert.Single(Find().Files);
        var whole = File.ReadAllBytes(file);
        File.WriteAllBytes(file, whole[..(int)(place % (whole.Length + 1))]);
        var torn = Find();
        if (torn.Header is null)
        {
            Assert.Empty(torn.Packets()); // not even the header is whole: nothing was acknowledged, and the recording begins anew
            return;
        }

        var left = torn.Packets().Count();
        AssertHolds(torn, left);
        using (var writer = RecordingWriter.Continue(new RecordingDisk(), options, header, torn))
        {
            for (var number = left; number < 10; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
            }

            writer.Write();
        }

        AssertHolds(Find(), 10);
        Assert.Equal(whole.Length, new FileInfo(file).Length);
        Assert.Equal(left == 10, whole.AsSpan().SequenceEqual(File.ReadAllBytes(file)));
    }

    [Fact]
    public void A_torn_end_is_told_with_its_length()
    {
        using (var writer = RecordingWriter.Begin(new RecordingDisk(), Options, Header))
        {
            writer.Add(1, "a-trunk", Packet(0));
            writer.Write();
        }

        var file = RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs).Files[0];
        var good = new FileInfo(file).Length;
        File.AppendAllText(file, "\0\0\0"); // what a power cut leaves: length without contents
        var found = RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs);
        Assert.Single(found.Packets());
        Assert.Equal(new TornTail(file, good, 3), Assert.Single(found.Torn));
    }

    [Fact]
    public void A_full_disk_loses_nothing_and_doubles_nothing()
    {
        var disk = new FullDisk();
        using (var writer = RecordingWriter.Begin(disk, Options, Header))
        {
            for (var number = 0; number < 100; number++)
            {
                writer.Add(number, "a-trunk", Packet(number));
                disk.IsFull = number % 10 is > 2 and < 8;
                if (disk.IsFull)
                {
                    Assert.Throws<IOException>(writer.Write);
                }
                else
                {
                    writer.Write();
                }
            }
        }

        AssertHolds(RecordingFiles.Find(_folder.Root, "amber", MadeUp.MorningUs), 100);
    }

    [Fact]
    public void Old_files_are_deleted_and_needed_ones_are_kept()
    {
        foreach (var athlete in new[] { "amber", "beryl", "coral" })
        {
            using var writer = RecordingWriter.Begin(new RecordingDisk(), Options, Header with { Athlete = athlete });
            writer.Add(1, "a-trunk", Packet(0));
            writer.Write();
        }

        var now = new DateTimeOffset(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);
        foreach (var file in new[] { "amber", "beryl" }.Select(athlete => RecordingFiles.Find(_folder.Root, athlete, MadeUp.MorningUs).Files[0]))
        {
            File.SetLastWriteTimeUtc(file, now.UtcDateTime.AddDays(-31));
        }

        File.SetLastWriteTimeUtc(RecordingFiles.Find(_folder.Root, "coral", MadeUp.MorningUs).Files[0], now.UtcDateTime.AddDays(-29));
        var deleted = RecordingFiles.DeleteOld(_folder.Root, now.AddDays(-30), new HashSet<(string, long)> { ("beryl", MadeUp.MorningUs) });
        Assert.Contains("amber", Assert.Single(deleted), StringComparison.Ordinal);
        Assert.Equal(2, RecordingFiles.All(_folder.Root).Count);
    }

    public void Dispose() => _folder.Dispose();

    private static byte[] Packet(int number) => [.. Enumerable.Repeat((byte)number, 50 + number)];

    private static void AssertHolds(RecordingFiles found, int count)
    {
        var packets = found.Packets().ToList();
        Assert.Equal(count, packets.Count);
        for (var number = 0; number < count; number++)
        {
            Assert.Equal(number, packets[number].ReceivedUs);
            Assert.Equal("a-trunk", packets[number].Sensor);
            Assert.Equal(Packet(number), packets[number].Bytes.ToArray());
        }
    }

    /// <summary>A disk that writes a part and then has no room.</summary>
    private sealed class FullDisk : IRecordingDisk
    {
        private readonly RecordingDisk _disk = new();

        public bool IsFull { get; set; }

        public SafeFileHandle Open(string file) => _disk.Open(file);

        public void Flush(SafeFileHandle handle) => _disk.Flush(handle);

        public void Write(SafeFileHandle handle, ReadOnlySpan<byte> bytes, long at, bool flush)
        {
            if (IsFull)
            {
                _disk.Write(handle, bytes[..(bytes.Length / 2)], at, flush);
                throw new IOException("No space left on device");
            }

            _disk.Write(handle, bytes, at, flush);
        }
    }
}

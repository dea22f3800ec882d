namespace Saltograph.Service.Warnings;

/// <summary>A command of staff counts, and the store does not answer: it is written as soon as it does.</summary>
internal sealed class NotStoredYetException(Exception inner)
    : Exception("It counts, and is not stored yet: the database does not answer. It is written as soon as it does; do not enter it again.", inner);

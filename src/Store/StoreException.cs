namespace Saltograph.Store;

/// <summary>The store cannot be used: it is locked, of a later version, or its schema cannot be made.</summary>
public sealed class StoreException : Exception
{
    /// <summary>Without a reason.</summary>
    public StoreException()
    {
    }

    /// <summary>With a reason.</summary>
    public StoreException(string message)
        : base(message)
    {
    }

    /// <summary>With a reason and its cause.</summary>
    public StoreException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}

"""A stack of write-ups -> one line a unit: what must not roll, which first, what to ask and book."""

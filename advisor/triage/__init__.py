"""A stack of write-ups -> the day's list: what must not roll, which unit first, what to book."""

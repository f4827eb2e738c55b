"""The command line: thin; each command reads, calls one function and shows the result."""

import gc

# a start makes many objects that all stay; looking through them for garbage takes a tenth of it
gc.set_threshold(100_000, 20, 20)

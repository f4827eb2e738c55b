"""The command line: thin; each command reads, calls one function and shows the result."""

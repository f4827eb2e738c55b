"""A case file, a line of a table, a paragraph or a recording -> a Case. Every value knows where it came from."""

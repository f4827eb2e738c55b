"""Files, tables, words and recordings -> a Case; every value knows where it came from."""

"""Pure functions of numbers and arrays. Imports nothing else of ours; SI inside."""

"""Worked cases played with the answer hidden, scored against the planner and a fixed checklist."""

"""Plain frozen data: what a rule pack, a case and a diagnosis are. No reading, no arithmetic."""

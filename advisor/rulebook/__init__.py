"""Everything about rule files: load, check, overlay, lock, schemas, compare."""

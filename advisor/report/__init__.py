"""Reports: one Diagnosis in, text out. Nothing is computed here; the document says it all."""

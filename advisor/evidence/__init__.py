"""A Case -> findings: each symptom present, absent or unknown, or a likelihood when measured."""

"""Tests of reading case files, write-ups and recordings."""

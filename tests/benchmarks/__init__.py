"""Measurements, run by hand; not collected by the tests."""

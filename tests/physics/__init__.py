"""Tests of the physics, against published values, scipy and simulation."""

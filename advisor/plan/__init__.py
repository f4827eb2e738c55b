"""Posterior -> safety verdict, questions for the driver, next inspections, and when to stop."""

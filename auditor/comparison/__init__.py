"""Planned against measured: differences, tolerances, verdicts; and the pictures of each shot."""

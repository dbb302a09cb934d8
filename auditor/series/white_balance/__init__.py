"""Colour temperatures that can be compared within a set."""

"""Colour temperatures of the pictures of a set, compared with each other."""

"""Palette, saturation and contrast over a set."""

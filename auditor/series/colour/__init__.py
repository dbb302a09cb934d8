"""Contrast, saturation and palette over a set."""

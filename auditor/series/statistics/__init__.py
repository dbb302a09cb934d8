"""Robust centre, spread and limits of a set."""

"""The subject finder."""

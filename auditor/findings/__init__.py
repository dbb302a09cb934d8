"""What needs the photographer's attention, as data."""

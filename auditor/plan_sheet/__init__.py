"""Draw each planned frame, to check a plan by eye and to have it at hand on set."""

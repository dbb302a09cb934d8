"""Charts and marks as SVG path data."""

"""A photographed or scanned page of drawn frames: what was drawn, as numbers."""

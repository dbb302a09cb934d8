"""Background and surface: the colours of what stands behind the food and of what it stands on."""

from auditor.measurements.background_and_surface.measure import measure_background_and_surface

__all__ = ["measure_background_and_surface"]

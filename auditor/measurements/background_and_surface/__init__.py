"""Background and surface: the colours of what stands behind the food and of what it stands on."""

from auditor.measurements.background_and_surface.measure import (
    BackgroundAndSurface,
    measure_background_and_surface,
)
from auditor.measurements.background_and_surface.table_edge import TableEdge, find_table_edge

__all__ = [
    "BackgroundAndSurface",
    "TableEdge",
    "find_table_edge",
    "measure_background_and_surface",
]

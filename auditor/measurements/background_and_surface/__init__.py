"""Background and surface: the colour of what stands behind and of what the food stands on."""

from auditor.measurements.background_and_surface.measure import Grounds, measure_grounds
from auditor.measurements.background_and_surface.table_edge import TableEdge, find_table_edge

__all__ = ["Grounds", "TableEdge", "find_table_edge", "measure_grounds"]

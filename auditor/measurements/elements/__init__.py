"""The supporting elements: the things placed in the frame besides the subject.

The map of placed things is thresholded and split into single things (`splitting`). Touching pieces
of one kind (a pair of fruit, a heap of biscuits) are one element (`grouping`). What lies under the
subject (a cloth, a board), and what is only a rim or a fragment, is left out (`measure`).
"""

from auditor.measurements.elements.measure import FoundElements, measure_elements
from auditor.measurements.elements.placed_map import FULL as FULL_CELL
from auditor.measurements.elements.placed_map import placed_map

__all__ = ["FULL_CELL", "FoundElements", "measure_elements", "placed_map"]

"""The supporting elements: the other things placed in the frame.

The map of placed things is cut where a thing is likely and split (`splitting`). Loose pieces of one
kind that touch (a pair of fruit, a heap of biscuits) are one element (`grouping`). What lies under
the subject (a cloth, a board) is ground; what seems no more than a rim or a fragment is left out
(`measure`).
"""

from auditor.measurements.elements.measure import (
    FoundElements,
    element_cues,
    measure_elements,
)

__all__ = ["FoundElements", "element_cues", "measure_elements"]

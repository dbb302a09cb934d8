"""The supporting elements: the things placed in the frame besides the subject.

The map of placed things is thresholded and split into single things (`splitting`). Touching pieces
of one kind (a pair of fruit, a heap of biscuits) are one element (`grouping`). What lies under the
subject (a cloth, a board), and what is only a rim or a fragment, is left out (`measure`).
"""

from auditor.measurements.elements.measure import FoundElements, measure_elements

__all__ = ["FoundElements", "measure_elements"]

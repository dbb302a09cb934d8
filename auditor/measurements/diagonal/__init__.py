"""The dominant diagonal: the strongest slanted line, drawn by edges or by the arrangement."""

from auditor.measurements.diagonal.line_of_force import Diagonal
from auditor.measurements.diagonal.measure import (
    measure_diagonal,
    measure_unseen_diagonals,
    slanted_edges,
)
from auditor.measurements.diagonal.unseen import UnseenDiagonals

__all__ = [
    "Diagonal",
    "UnseenDiagonals",
    "measure_diagonal",
    "measure_unseen_diagonals",
    "slanted_edges",
]

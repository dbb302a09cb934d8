"""Focus: sharpness on and off the subject, where the sharpest part lies, and what is the cause.

`differences` reads the frame, `sharpness` judges it tile by tile, `smear` looks for a direction in
which it is softer, `verdict` says what follows.
"""

from auditor.measurements.focus.sharpness import sharpness_map
from auditor.measurements.focus.verdict import Focus, measure_focus

__all__ = ["Focus", "measure_focus", "sharpness_map"]

"""What can be done to a finished picture: crop, turn, colour temperature, exposure, saturation.

Pure functions of arrays (`turning`, `colours`), and `apply`, which makes the whole change of one
photograph in memory. The file of a picture is never written.
"""

from auditor.corrections.apply import applied, changed_pixels
from auditor.corrections.change import BOX_STEPS, WHOLE_FRAME, Change
from auditor.corrections.turning import inscribed_box

__all__ = ["BOX_STEPS", "WHOLE_FRAME", "Change", "applied", "changed_pixels", "inscribed_box"]

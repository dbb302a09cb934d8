"""Colours of a picture: its palette, the subject's and the ground's, the echo, the saturation.

`clusters` finds main colours among many, `measure` does so in the frame's parts, `echo` follows the
subject's main colour through the rest of the frame.
"""

from auditor.measurements.palette.clusters import MAX_COLOURS, MERGE_DIFFERENCE
from auditor.measurements.palette.echo import Echo, EchoPlace
from auditor.measurements.palette.measure import (
    Colours,
    Saturation,
    measure_colours,
    measure_palette,
)

__all__ = [
    "MAX_COLOURS",
    "MERGE_DIFFERENCE",
    "Colours",
    "Echo",
    "EchoPlace",
    "Saturation",
    "measure_colours",
    "measure_palette",
]

"""Colours of a picture: palettes of frame, subject and ground, the echo, the saturation.

`clusters` finds the main colours among many, `measure` applies it to parts of the frame, `echo`
looks for the subject's main colour in the rest of the frame.
"""

from auditor.measurements.palette.clusters import MAX_COLOURS, MERGE_DIFFERENCE
from auditor.measurements.palette.echo import Echo, EchoPlace
from auditor.measurements.palette.measure import (
    Saturation,
    measure_colours,
    measure_palette,
)

__all__ = [
    "MAX_COLOURS",
    "MERGE_DIFFERENCE",
    "Echo",
    "EchoPlace",
    "Saturation",
    "measure_colours",
    "measure_palette",
]

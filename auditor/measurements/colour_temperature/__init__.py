"""Colour temperature of the picture's neutrals as displayed, and its clusters under mixed light."""

from auditor.colour_signature.neutral_plane import (
    Cells,
    cells_of,
    mired_from_warmth,
    warmth_from_mired,
)
from auditor.colour_signature.signature import ColourSignature, colour_signature
from auditor.measurements.colour_temperature.measure import (
    TOLERANCE_MIRED,
    ColourTemperature,
    TemperatureCluster,
    measure_colour_temperature,
)

__all__ = [
    "TOLERANCE_MIRED",
    "Cells",
    "ColourSignature",
    "ColourTemperature",
    "TemperatureCluster",
    "cells_of",
    "colour_signature",
    "measure_colour_temperature",
    "mired_from_warmth",
    "warmth_from_mired",
]

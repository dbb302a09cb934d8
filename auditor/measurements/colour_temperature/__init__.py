"""Colour temperature of a picture's neutrals as displayed, and its clusters under mixed light."""

from auditor.measurements.colour_temperature.measure import (
    TOLERANCE_MIRED,
    ColourTemperature,
    TemperatureCluster,
    measure_colour_temperature,
)

__all__ = [
    "TOLERANCE_MIRED",
    "ColourTemperature",
    "TemperatureCluster",
    "measure_colour_temperature",
]

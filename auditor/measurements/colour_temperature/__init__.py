"""Colour temperature of a picture's neutrals as displayed, and its clusters under mixed light."""

from auditor.measurements.colour_temperature.measure import (
    SPREAD_MIRED,
    TOLERANCE_MIRED,
    ColourTemperature,
    TemperatureCluster,
    measure_colour_temperature,
)

__all__ = [
    "SPREAD_MIRED",
    "TOLERANCE_MIRED",
    "ColourTemperature",
    "TemperatureCluster",
    "measure_colour_temperature",
]

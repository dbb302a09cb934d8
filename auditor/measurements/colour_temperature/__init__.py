"""Colour temperature of the picture's neutrals as displayed, and its clusters under mixed light."""

from auditor.measurements.colour_temperature.measure import (
    ColourTemperature,
    TemperatureCluster,
    measure_colour_temperature,
)

__all__ = ["ColourTemperature", "TemperatureCluster", "measure_colour_temperature"]

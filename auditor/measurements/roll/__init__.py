"""Roll: how far the picture is turned, from lines and from the planes in which rims lie."""

from auditor.measurements.roll.measure import Roll, measure_roll

__all__ = ["Roll", "measure_roll"]

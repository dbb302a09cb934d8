"""Light direction: the clock position of the key light around the subject on the table plane."""

from auditor.measurements.light.direction import Light
from auditor.measurements.light.measure import measure_light

__all__ = ["Light", "measure_light"]

"""Long thin things: spoons, forks, knives, chopsticks, skewers, straws.

They are too narrow for the finder's maps and stand in the dish as often as beside it. Two straight
edges with one colour between them show them (`pairs`). So do stripes, seams and slats; what is one
of many parallels, or where the finder sees nothing, is left out (`measure`).
"""

from auditor.measurements.thin_things.measure import ThinThing, measure_thin_things

__all__ = ["ThinThing", "measure_thin_things"]

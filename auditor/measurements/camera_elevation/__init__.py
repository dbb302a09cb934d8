"""Camera elevation from round rims: a circle seen at elevation e is an ellipse of axis ratio sin e.

Where the focal length is known (`lens`), the plane of each rim is computed exactly (`circle_pose`).
The planes of several rims are combined (`consensus`). Straight edges that lie along and across the
table (`table_lines`) raise or lower the doubt of the rims (`posterior`). Without a rim, whole
rectangles (`rectangle_pose`) or these edges give the elevation.
"""

from auditor.measurements.camera_elevation.elevation import CameraElevation
from auditor.measurements.camera_elevation.measure import measure_camera_elevation

__all__ = ["CameraElevation", "measure_camera_elevation"]

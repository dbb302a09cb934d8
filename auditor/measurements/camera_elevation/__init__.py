"""Camera elevation from round rims: a circle seen at elevation e is an ellipse of axis ratio sin e.

Where the focal length is known, the plane of each rim is computed exactly (`circle_pose`). The
planes of several rims are combined (`consensus`). Without a rim, rectangles are used
(`rectangle_pose`).
"""

from auditor.measurements.camera_elevation.measure import (
    CameraElevation,
    measure_camera_elevation,
)

__all__ = ["CameraElevation", "measure_camera_elevation"]

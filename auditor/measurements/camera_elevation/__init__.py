"""Camera elevation from round rims: a circle seen at e is an ellipse of axis ratio sin e.

Where the focal length is known, the plane of each rim is found exactly (`circle_pose`); the
planes of several are joined (`consensus`).
"""

from auditor.measurements.camera_elevation.elevation import (
    CameraElevation,
    measure_camera_elevation,
)

__all__ = ["CameraElevation", "measure_camera_elevation"]

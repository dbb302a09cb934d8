"""Error of an elevation from rims because a picture was cropped after exposure."""

from __future__ import annotations

import numpy as np

from auditor.geometry import Ellipse, Point, diagonal_px
from auditor.measurements.camera_elevation.circle_pose import elevation_deg, plane_normals
from auditor.measurements.camera_elevation.consensus import Consensus
from auditor.measurements.camera_elevation.lens import Lens


def crop_error_deg(consensus: Consensus, lens: Lens, width: int, height: int) -> float:
    """Standard error of the elevation from the unknown part of the frame that was cut away.

    The elevation of the main rim is computed again with the focal length and the optical axis moved
    by their standard errors.

    Parameters
    ----------
    consensus : Consensus
    lens : Lens
    width, height : int
        Of the picture; only their ratio matters.
    """
    diagonal = diagonal_px(width, height)
    main = max(range(len(consensus.rims)), key=lambda k: consensus.rims[k].weight)
    ellipse, plane = consensus.rims[main].ellipse, consensus.planes[main]

    def elevation(longer: float, right: float, down: float) -> float:
        centre = Point(
            ellipse.centre.x - right * diagonal / width,
            ellipse.centre.y - down * diagonal / height,
        )
        moved = Ellipse(centre, ellipse.semi_axes, ellipse.angle_deg)
        normals = plane_normals(moved, width, height, lens.focal_length * (1 + longer))
        return elevation_deg(normals[int((normals @ plane).argmax())])

    steps = (
        (lens.focal_length_error, 0.0, 0.0),
        (0.0, lens.centre_error[0], 0.0),
        (0.0, 0.0, lens.centre_error[1]),
    )
    changes = [
        (elevation(longer, right, down) - elevation(-longer, -right, -down)) / 2
        for longer, right, down in steps
    ]
    return float(np.linalg.norm(changes))

"""Cast shadows: which light direction explains the dark parts of the ground.

For each light direction the foot of a thing is swept over the table, away from the light, for
several lengths; the area that it covers is the predicted shadow. The fit of a direction is the
share of the ground's variation that its best length explains. Darkening all around the thing
(contact shadow, a vignette around the subject) has no direction and is removed first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.measurements.light.scene import Surroundings, Thing

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]  # half the time of 64 bits, and more than precise enough

N_SWEEPS = 36  # light directions: steps of 10 degrees, interpolated
SWEEPS: Floats = (np.arange(N_SWEEPS) + 0.5) * 2 * np.pi / N_SWEEPS
LENGTHS: Floats = np.array([0.35, 0.7, 1.05, 1.4, 1.8, 2.2, 2.7, 3.2])  # in radii of the thing
REACH = 3.5  # radii: the longest shadow and some open ground behind it
BANDS: Floats = np.array([1.15, 1.4, 1.8, 2.4])  # radii: the mean of each band is removed
RANGE_EV = (-2.0, 0.8)  # around the median: shadows are no deeper, and brighter is a highlight
NOISE_EV = 0.12  # uneven ground: wood, linen and stone vary by about this at 256 px
MIN_GROUND_PX = 60
ENOUGH_PX = 800  # with more, every second row is enough
MIN_SHADOW_PX = 3
MAX_RISE = 0.85  # of a thing's height in the picture: some of it is foot
MIN_SPREAD_PX = 0.5  # standard deviation; a foot is never a line


@dataclass(frozen=True, slots=True)
class Foot:
    """The foot of a thing on the table: an ellipse in the picture with the moments of its mask.

    Attributes
    ----------
    x, y : float
        Its centre, in pixels.
    to_circle : (2, 2) float array
        Maps (columns, rows) relative to the centre so that the ellipse becomes the unit circle.
    """

    x: float
    y: float
    to_circle: Floats


def shadow_profile(thing: Thing, around: Surroundings, sin_elevation: float) -> Floats | None:
    """Measure how well light from each of `SWEEPS` explains the dark parts of the ground.

    Parameters
    ----------
    thing : Thing
    around : Surroundings
        The ground around it, to `REACH`.
    sin_elevation : float
        Sine of the camera elevation.

    Returns
    -------
    (N_SWEEPS,) float array or None
        -log(1 - share of variance explained); None if there is too little ground around.
    """
    sparse = 2 if around.rows.size > ENOUGH_PX else 1
    chosen = around.rows % (sparse * around.step_px) == 0
    n_px = np.count_nonzero(chosen)
    if n_px < MIN_GROUND_PX:
        return None
    reached = _distance_to_foot(
        foot_of(thing, sin_elevation),
        around.columns[chosen],
        around.rows[chosen],
        thing.radius_px,
        sin_elevation,
    )
    shadows = reached[:, np.newaxis] <= LENGTHS[:, np.newaxis]
    templates = shadows.reshape(-1, n_px).astype(np.float32)
    values = around.luminance_ev[chosen]
    values = np.clip(values - np.median(values), *RANGE_EV)
    even = _orthonormal_bands(around.radius[chosen])
    values -= even @ (even.T @ values)
    seen = np.column_stack([values, np.ones_like(values), even]).astype(np.float32)
    seen = (templates @ seen).astype(np.float64)
    size = seen[:, 1] - (seen[:, 2:] ** 2).sum(axis=1)
    darkening = np.where(size > MIN_SHADOW_PX, -seen[:, 0], 0.0)
    explained = np.maximum(darkening, 0) ** 2 / np.maximum(size, MIN_SHADOW_PX)
    share = explained / (values @ values + values.size * NOISE_EV**2)
    return np.asarray(-np.log1p(-share.reshape(N_SWEEPS, -1).max(axis=1)))


def foot_of(thing: Thing, sin_elevation: float) -> Foot:
    """Cut off the part that rises above the foot, and describe the rest by its moments.

    A round thing is as wide as its foot, which is foreshortened by sin e. Any height of the
    outline beyond that is its rise. A pixel belongs to the foot if the thing also covers the
    pixel that far above it.
    """
    rows, columns = np.nonzero(thing.mask)
    height = len(thing.mask)
    rise = round(max(0.0, height - 2 * thing.radius_px * sin_elevation))
    rise = min(rise, int(MAX_RISE * height))
    covered = rows - rise >= 0
    covered[covered] = thing.mask[rows[covered] - rise, columns[covered]]
    if np.count_nonzero(covered) > 1:
        rows, columns = rows[covered], columns[covered]
    x, y = float(columns.mean()) + thing.box[1].start, float(rows.mean()) + thing.box[0].start
    spread = np.cov(columns, rows) + MIN_SPREAD_PX**2 * np.eye(2)
    # A filled ellipse has a quarter of its squared semi-axes as variances.
    y = max(y, thing.foot_y - 0.5)
    return Foot(x, y, np.linalg.inv(np.linalg.cholesky(4 * spread)))


def _distance_to_foot(
    foot: Foot,
    columns: NDArray[np.intp],
    rows: NDArray[np.intp],
    radius_px: float,
    sin_elevation: float,
) -> Singles:
    """Distance in radii from each pixel towards each light to the foot; infinite if it misses."""
    start = foot.to_circle @ np.stack([columns - foot.x, rows - foot.y])
    step = np.stack([np.sin(SWEEPS), -np.cos(SWEEPS) * sin_elevation]) * radius_px
    step = foot.to_circle @ step
    square = (step**2).sum(axis=0)
    # Intersect each pixel's line towards the light with the unit circle.
    along = (-(step / square).T @ start).astype(np.float32)
    outside = (((start**2).sum(axis=0) - 1) / square[:, np.newaxis]).astype(np.float32)
    inside = along**2 - outside
    hit = (inside > 0) & (along > 0)
    return np.where(hit, along - np.sqrt(np.where(hit, inside, 0)), np.float32(np.inf))


def _orthonormal_bands(radius: Floats) -> Floats:
    """Orthonormal basis of a constant and steps at each of `BANDS` with ground on both sides."""
    within = radius[:, np.newaxis] < BANDS
    count = np.count_nonzero(within, axis=0)
    different = np.diff(np.concatenate([[0], count])) > 0
    kept = within[:, different & (count < radius.size)]
    columns = np.concatenate([np.ones((radius.size, 1)), kept], axis=1)
    return np.asarray(np.linalg.qr(columns)[0])

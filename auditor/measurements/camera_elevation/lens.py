"""The lens of a picture: its focal length in units of the picture, and how well it is known.

A focal length belongs to the frame that was exposed. If a picture was cropped later, its diagonal
is a part of that frame's, and its optical axis may lie away from the middle. EXIF rarely says so,
but cameras expose few ratios of sides: a picture of another ratio is taken for a part of one of
these.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from auditor.measurements.camera_elevation.circle_pose import (
    FULL_FRAME_DIAGONAL_MM,
    focal_length_in_diagonals,
)

# Ratios of the frames that cameras and phones expose. Other ratios that cameras offer are cut from
# these (common practice of camera makers, from memory).
EXPOSED_RATIOS = {"3:2": 3 / 2, "4:3": 4 / 3}
# Relative difference up to which two ratios are the same: 640 by 427 px, and makers that leave out
# a few rows of the sensor.
SAME_RATIO = 0.012
# Focal lengths of photographs that do not tell theirs, in mm in 35 mm film, and their
# probabilities: the main camera of a phone, the short and the long end of a standard zoom, a macro
# lens. By the lines of 67 photographs of dishes, phones come first.
TYPICAL_FOCAL_LENGTHS_35MM = ((26.0, 0.3), (35.0, 0.3), (50.0, 0.25), (80.0, 0.15))

# Share of a frame's area that a crop leaves at least: 4:5 upright from a level 3:2 leaves 0.53, a
# level 16:9 from an upright 3:4 would leave 0.42 (common practice, no source).
LEAST_KEPT = 0.5
# Standard deviation of the place of a crop, as a share of what was cut away: 0.29 if it lies
# anywhere, 0.5 if always at an edge. Crops often cut away what disturbs at one side (no source).
CROP_PLACE_ERROR = 0.4


@dataclass(frozen=True, slots=True)
class Lens:
    """The lens, in units of the picture's diagonal.

    Attributes
    ----------
    focal_length : float
        The most probable one.
    focal_length_error : float
        Its standard error because of a crop, relative; 0 if the picture was not cropped.
    is_known : bool
        False if the focal length is assumed.
    possible : tuple of (float, float)
        Possible focal lengths and their probabilities.
    centre_error : tuple of float
        Standard error of the position of the optical axis, along x and along y.
    cropped_from : str or None
        Ratio of the smallest frame that the picture may be a part of, such as ``"3:2"``; None if
        the picture has the ratio of such a frame.
    """

    focal_length: float
    focal_length_error: float
    is_known: bool
    possible: tuple[tuple[float, float], ...]
    centre_error: tuple[float, float]
    cropped_from: str | None

    @property
    def horizon_error_deg(self) -> float:
        """Standard error of the direction of the horizon because of a crop."""
        return math.degrees(math.atan(self.centre_error[1] / self.focal_length))


@dataclass(frozen=True, slots=True)
class _Parent:
    """A frame that the picture may be a part of.

    `diagonal` is in units of the picture's diagonal, as is `slack`, what is cut away along x and y.
    `kept` is the share of the area that is left.
    """

    name: str
    diagonal: float
    slack: tuple[float, float]
    kept: float


def lens_of(
    width: float,
    height: float,
    focal_length_35mm: float | None,
    exposed_ratio: float | None = None,
) -> Lens:
    """Describe the lens of a picture.

    Parameters
    ----------
    width, height : float
        Of the picture; only their ratio matters.
    focal_length_35mm : float or None
        From EXIF, in mm.
    exposed_ratio : float or None
        Width over height of the frame as exposed, if the metadata give it.
    """
    parents = _parents(width / height, exposed_ratio)
    # Photographers mostly cut away little: a frame of which much is left is more probable (common
    # practice, no source).
    total = sum(parent.kept**2 for parent in parents)
    chances = [parent.kept**2 / total for parent in parents]
    is_known = focal_length_35mm is not None and focal_length_35mm > 0
    uncropped = focal_length_in_diagonals(focal_length_35mm)
    enlarged = sum(
        chance * parent.diagonal for chance, parent in zip(chances, parents, strict=True)
    )
    scatter = sum(
        chance * (parent.diagonal - enlarged) ** 2
        for chance, parent in zip(chances, parents, strict=True)
    )
    possible = tuple(
        (uncropped * parent.diagonal, chance)
        for chance, parent in zip(chances, parents, strict=True)
    )
    if not is_known:
        possible = tuple(
            (focal_length_mm / FULL_FRAME_DIAGONAL_MM, chance)
            for focal_length_mm, chance in TYPICAL_FOCAL_LENGTHS_35MM
        )
    smallest = max(parents, key=lambda parent: parent.kept)
    return Lens(
        focal_length=uncropped * enlarged if is_known else uncropped,
        focal_length_error=math.sqrt(scatter) / enlarged if is_known else 0.0,
        is_known=is_known,
        possible=possible,
        centre_error=(_centre_error(chances, parents, 0), _centre_error(chances, parents, 1)),
        cropped_from=None if smallest.kept == 1 else smallest.name,
    )


def _centre_error(chances: list[float], parents: list[_Parent], axis: int) -> float:
    """Standard error of the optical axis along the cropped side."""
    variance = sum(
        chance * (CROP_PLACE_ERROR * parent.slack[axis]) ** 2
        for chance, parent in zip(chances, parents, strict=True)
    )
    return math.sqrt(variance)


def _parents(ratio: float, exposed_ratio: float | None) -> list[_Parent]:
    """Frames that a picture of this ratio of width to height may be a part of."""
    if exposed_ratio is not None and not _is_same(ratio, exposed_ratio):
        return [_parent(_name(exposed_ratio), exposed_ratio, ratio)]
    upright = ratio < 1
    for name, long_to_short in EXPOSED_RATIOS.items():
        if _is_same(ratio, 1 / long_to_short if upright else long_to_short):
            return [_Parent(name, 1.0, (0.0, 0.0), 1.0)]
    parents = [
        _parent(name, exposed, ratio)
        for name, long_to_short in EXPOSED_RATIOS.items()
        for exposed in (long_to_short, 1 / long_to_short)
    ]
    most = max(parent.kept for parent in parents)
    return [parent for parent in parents if parent.kept >= min(LEAST_KEPT, most)]


def _parent(name: str, exposed: float, ratio: float) -> _Parent:
    """The smallest frame of the ratio `exposed` around a picture of another ratio, height 1."""
    own = math.hypot(ratio, 1.0)
    width, height = max(ratio, exposed), max(1.0, ratio / exposed)
    return _Parent(
        name,
        math.hypot(width, height) / own,
        ((width - ratio) / own, (height - 1.0) / own),
        ratio / (width * height),
    )


def _is_same(one: float, other: float) -> bool:
    return abs(math.log(one / other)) <= SAME_RATIO


def _name(ratio: float) -> str:
    """Name of an exposed ratio: ``"3:2"``, or ``"1.85:1"`` if it is not a usual one."""
    wide = max(ratio, 1 / ratio)
    for name, usual in EXPOSED_RATIOS.items():
        if _is_same(wide, usual):
            return name
    return f"{wide:.2f}:1"

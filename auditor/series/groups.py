"""Groups within the set: pictures of food on the same surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from skimage.color import deltaE_ciede2000

from auditor.colorimetry import Lab
from auditor.measurements.measured_photograph import MeasuredPhotograph

# In one light the colour of a table differs by less than this from picture to picture; two tables
# that differ by less look the same (common practice, no source).
SAME_SURFACE_CIEDE2000 = 6


@dataclass(frozen=True, slots=True)
class Group:
    """Pictures of food on the same surface.

    Attributes
    ----------
    files : tuple of str
        In the order of the set.
    surface : str
        Colour of the surface in the first of them, ``#rrggbb``.
    """

    files: tuple[str, ...]
    surface: str


def group_by_surface(measured: Sequence[MeasuredPhotograph]) -> tuple[Group, ...]:
    """Pictures on the same surface, largest group first; without groups of a single picture.

    A picture joins the group with the nearest surface in its first picture, if that is near enough.
    """
    firsts: list[Lab] = []
    groups: list[tuple[str, list[str]]] = []
    for picture in measured:
        surface = picture.surface.value
        if surface is None:
            continue
        place = _nearest(surface.lab, firsts)
        if place is None:
            firsts.append(surface.lab)
            groups.append((surface.hex, [picture.file]))
        else:
            groups[place][1].append(picture.file)
    shared = [Group(tuple(files), colour) for colour, files in groups if len(files) > 1]
    return tuple(sorted(shared, key=lambda group: -len(group.files)))


def _nearest(surface: Lab, firsts: Sequence[Lab]) -> int | None:
    """Place of the nearest of some colours; None if none is near enough."""
    if not firsts:
        return None
    differences = deltaE_ciede2000(np.array([surface]), np.array(firsts))
    nearest = int(np.argmin(differences))
    return nearest if differences[nearest] <= SAME_SURFACE_CIEDE2000 else None

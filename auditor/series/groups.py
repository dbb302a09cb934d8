"""Groups within the set: pictures that share what the food stands on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.colorimetry import Swatch, colour_difference
from auditor.measurements.measured_photograph import MeasuredPhotograph

# One table in one light stays within this from frame to frame; two tables that differ by less
# look alike (common practice, no source).
SAME_SURFACE_CIEDE2000 = 6


@dataclass(frozen=True, slots=True)
class Group:
    """Pictures that share something, with what they share in words."""

    files: tuple[str, ...]
    shared: str


def group_by_surface(measured: Sequence[MeasuredPhotograph]) -> tuple[Group, ...]:
    """Pictures on the same surface, largest group first; pictures that stand alone are left out.

    A picture joins the group whose first picture's surface is nearest, if that is near enough.
    """
    groups: list[tuple[Swatch, list[str]]] = []
    for picture in measured:
        surface = picture.surface.value
        if surface is None:
            continue
        near = [
            (colour_difference(surface.lab, first.lab), place)
            for place, (first, _) in enumerate(groups)
        ]
        difference, place = min(near, default=(float("inf"), -1))
        if difference <= SAME_SURFACE_CIEDE2000:
            groups[place][1].append(picture.file)
        else:
            groups.append((surface, [picture.file]))
    shared = [
        Group(tuple(files), f"surface near {first.hex}")
        for first, files in groups
        if len(files) > 1
    ]
    return tuple(sorted(shared, key=lambda group: -len(group.files)))

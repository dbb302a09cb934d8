"""Lines, angles and light of photographs that are mirrored, or rotated by a few degrees."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.geometry import clock_difference_hours, fold_angle_deg
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from tests.benchmarks.geometry_of import geometry_of

TURNS_DEG = (-5.0, 3.0)
KEPT = 0.8  # of either side: after a rotation by 5 degrees no corner lies outside
STILL = {
    "camera elevation, degrees": 1.0,
    "light, hours": 0.1,
    "roll, degrees": 0.5,
    "diagonal, degrees": 0.5,
    "leading lines, of the frame": 0.01,
    "technique, of the diagonal": 0.01,
}


def check_turned(folder: Path) -> Iterator[str]:
    """Lines of text: how often a value follows the picture, and how often it is missing once."""
    mirrored: dict[str, list[float | None]] = {}
    turned: dict[str, list[float | None]] = {}
    for path in sorted(folder.glob("*.jpg")):
        picture = read_photograph(folder, path.name)
        here = geometry_of(picture).measured
        _compare(mirrored, here, geometry_of(_mirrored(picture)).measured, 0.0, mirror=True)
        level = geometry_of(_turned(picture, 0.0)).measured
        for turn_deg in TURNS_DEG:
            after = geometry_of(_turned(picture, turn_deg)).measured
            _compare(turned, level, after, turn_deg, mirror=False)
    for title, changes in (("mirrored", mirrored), ("turned", turned)):
        for name, found in changes.items():
            both = np.array([change for change in found if change is not None])
            limit = STILL[name]
            share = f"{np.mean(both <= limit):.3f}" if both.size else "-"
            yield (
                f"{title}: {name}: {both.size} measured both times, within {limit:g}: {share}, "
                f"worst {both.max(initial=0):.2f}; measured only once {len(found) - both.size}"
            )


def _compare(
    changes: dict[str, list[float | None]],
    before: MeasuredPhotograph,
    after: MeasuredPhotograph,
    turn_deg: float,
    *,
    mirror: bool,
) -> None:
    """Append the difference of each value from the one expected after the change."""
    sign = -1.0 if mirror else 1.0

    def note(name: str, first: object, second: object, change: float | None) -> None:
        if first is not None or second is not None:
            changes.setdefault(name, []).append(change)

    a, b = before.camera_elevation.value, after.camera_elevation.value
    note("camera elevation, degrees", a, b, abs(a.deg - b.deg) if a and b else None)
    r, s = before.roll.value, after.roll.value
    note("roll, degrees", r, s, abs(sign * r.deg + turn_deg - s.deg) if r and s else None)
    d, e = before.diagonal.value, after.diagonal.value
    off = fold_angle_deg(sign * d.angle_deg + turn_deg - e.angle_deg) if d and e else None
    note("diagonal, degrees", d, e, None if off is None else abs(off))
    if not mirror:
        return
    k, m = before.light.value, after.light.value
    hours = clock_difference_hours(12 - k.clock, m.clock) if k and m else None
    note("light, hours", k, m, None if hours is None else abs(hours))
    p, q = before.leading_lines.value, after.leading_lines.value
    apart = None
    if p and q:
        apart = float(np.hypot(1 - p.leads_to.x - q.leads_to.x, p.leads_to.y - q.leads_to.y))
    note("leading lines, of the frame", p, q, apart)
    for name in before.technique_fit.keys() | after.technique_fit.keys():
        f, g = before.technique_fit.get(name), after.technique_fit.get(name)
        change = abs(f.distance - g.distance) if f and g else None
        note("technique, of the diagonal", f, g, change)


def _mirrored(picture: Photograph) -> Photograph:
    return replace(
        picture,
        pixels=np.ascontiguousarray(picture.pixels[:, ::-1]),
        detail=np.ascontiguousarray(picture.detail[:, ::-1]),
    )


def _turned(picture: Photograph, turn_deg: float) -> Photograph:
    """The middle of the picture, rotated counter-clockwise."""
    pixels, detail = (_middle(part, turn_deg) for part in (picture.pixels, picture.detail))
    return replace(
        picture, pixels=pixels, detail=detail, width=pixels.shape[1], height=pixels.shape[0]
    )


def _middle(pixels: NDArray[np.uint8], turn_deg: float) -> NDArray[np.uint8]:
    image = Image.fromarray(pixels).rotate(turn_deg, Image.Resampling.BICUBIC)
    width, height = image.size
    left, top = ((1 - KEPT) / 2 * side for side in (width, height))
    return np.asarray(
        image.crop((round(left), round(top), round(width - left), round(height - top)))
    )

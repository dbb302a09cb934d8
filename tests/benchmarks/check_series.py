"""Planted faults in sets of one look; run by hand after the series or a colour changes.

``python tests/benchmarks/check_series.py SETS`` takes a folder of folders of pictures of one look
each (``python -m fixtures.rendering tables --look SEED``), changes one picture at a time in one
way, and prints how often it is named for the right reason, and how many pictures are named as the
sets are. Set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import LINEAR_FROM_BYTE, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from auditor.series.series import describe_series
from tests.benchmarks.geometry_of import finder

Pixels = NDArray[np.uint8]
FOREIGN_SHARE = 0.08
FOREIGN_SRGB = ((200, 30, 160), (20, 160, 190), (40, 170, 60))
SOFT = ("missed focus", "motion blur", "soft all over")  # told of a picture by itself
BLUR_FRACTION = 0.004  # of the diagonal: softer than any print hides


def _encoded(linear: NDArray[np.float64]) -> Pixels:
    return np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)


def _linear(pixels: Pixels) -> NDArray[np.float64]:
    return LINEAR_FROM_BYTE[pixels].astype(np.float64)


def _foreign(pixels: Pixels, seed: int) -> Pixels:
    """A coloured cloth over 8 % of the frame, shaded as what was there, in a lower corner."""
    height, width = pixels.shape[:2]
    side = np.sqrt(FOREIGN_SHARE)
    rows, columns = slice(int(height * (1 - side)), None), slice(0, int(width * side))
    if seed % 2:
        columns = slice(int(width * (1 - side)), None)
    changed = pixels.copy()
    texture = _linear(pixels[rows, columns]).mean(axis=-1, keepdims=True)
    shade = 0.5 + 0.5 * texture / max(float(texture.mean()), 1e-6)
    colour = _linear(np.array(FOREIGN_SRGB[seed % 3], dtype=np.uint8))
    changed[rows, columns] = _encoded(np.minimum(shade, 1.3) * colour)
    return changed


def _unsaturated(pixels: Pixels, _: int) -> Pixels:
    linear = _linear(pixels)
    grey = linear @ np.array([0.2126, 0.7152, 0.0722])
    return _encoded(0.5 * linear + 0.5 * grey[..., None])


def _blurred(pixels: Pixels, _: int) -> Pixels:
    radius = BLUR_FRACTION * float(np.hypot(*pixels.shape[:2]))
    return np.rint(gaussian_filter(pixels.astype(float), (radius, radius, 0))).astype(np.uint8)


FAULTS: dict[str, tuple[str, Callable[[Pixels, int], Pixels]]] = {
    "35 mired": (
        "colour_temperature",
        lambda pixels, seed: _encoded(shift_mired(_linear(pixels), 35.0 if seed % 2 else -35.0)),
    ),
    "0.7 EV": (
        "exposure",
        # A light picture is made darker: where it would clip no exposure is left to tell.
        lambda pixels, _: _encoded(_linear(pixels) * 2.0 ** (-0.7 if pixels.mean() > 127 else 0.7)),
    ),
    "foreign colour": ("palette", _foreign),
    "half saturation": ("saturation", _unsaturated),
    "blurred": ("subject_sharpness", _blurred),
}


def _measured(picture: Photograph, change: Callable[[Pixels], Pixels] | None) -> MeasuredPhotograph:
    if change is not None:
        picture = replace(picture, pixels=change(picture.pixels), detail=change(picture.detail))
    return measure(picture, finder())


def _named(pictures: list[MeasuredPhotograph]) -> dict[str, set[str]]:
    """The quantities for which each picture is named."""
    named: dict[str, set[str]] = {picture.file: set() for picture in pictures}
    for quantity in describe_series(pictures).quantities:
        for outlier in quantity.outliers:
            named[outlier.file].add(quantity.quantity)
    for picture in pictures:
        focus = picture.focus.value
        if focus is not None and (not focus.subject_in_focus or focus.cause in SOFT):
            named[picture.file].add("subject_sharpness")
    return named


def main() -> None:
    """Print a line for each fault and one for the sets as they are."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sets", type=Path)
    parser.add_argument("--a-set", type=int, default=2, help="pictures changed in each set")
    given = parser.parse_args()
    right: dict[str, list[bool]] = {name: [] for name in FAULTS}
    n_pictures, alarms = 0, []
    for number, folder in enumerate(sorted(p for p in given.sets.iterdir() if p.is_dir())):
        photographs = [read_photograph(folder, p.name) for p in sorted(folder.glob("*.jpg"))]
        pictures = [_measured(photograph, None) for photograph in photographs]
        n_pictures += len(pictures)
        alarms += [q for quantities in _named(pictures).values() for q in quantities]
        for turn in range(given.a_set):
            place = (3 * number + 5 * turn) % len(pictures)
            for name, (quantity, change) in FAULTS.items():
                seed = number + turn
                changed = list(pictures)
                changed[place] = _measured(photographs[place], lambda p, c=change, s=seed: c(p, s))
                right[name].append(quantity in _named(changed)[pictures[place].file])
        _say(f"{folder.name}: " + ", ".join(f"{n} {np.mean(r):.2f}" for n, r in right.items()))
        _say(f"   named as they are: {len(alarms)} in {n_pictures}: {sorted(alarms)}")


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()

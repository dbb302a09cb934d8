"""Planted faults in sets of one look; run by hand after changes to the series or to colours.

``python tests/benchmarks/check_series.py SETS`` reads a folder of folders of pictures of one look
each (``python -m fixtures.rendering tables --look SEED``), changes one picture at a time in one
way, and prints how often it is flagged for the right reason, and how many unchanged pictures are
flagged. Set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from skimage.color import deltaE_ciede2000

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import LINEAR_FROM_BYTE, lab_from_pixels, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from auditor.series.series import describe_series
from tests.benchmarks.geometry_of import finder

Pixels = NDArray[np.uint8]
FOREIGN_SHARE = 0.08
# Strong colours around the hue circle; the one that is least present in the set is planted.
FOREIGN_SRGB = (
    (200, 30, 160), (150, 50, 200), (60, 70, 210), (20, 120, 220), (20, 160, 190), (20, 170, 130),
    (40, 170, 60), (130, 180, 30), (225, 200, 30), (230, 120, 30), (210, 40, 40), (215, 50, 100),
)  # fmt: skip
SHOWN_QUANTILE = 0.005  # of the set's pixels nearest to a colour: these decide if it is present
SOFT = ("missed focus", "motion blur", "soft all over")  # causes found in a single picture
ALONE = {"subject_sharpness": "focus"}  # the fault may be flagged in the set or in the picture
BLUR_FRACTION = 0.004  # of the diagonal: visible even in a small print


def _encoded(linear: NDArray[np.float64]) -> Pixels:
    return np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)


def _linear(pixels: Pixels) -> NDArray[np.float64]:
    return LINEAR_FROM_BYTE[pixels].astype(np.float64)


@dataclass(frozen=True)
class Chance:
    """Parameters of a fault: a number, and the colour that is farthest from the set."""

    seed: int
    foreign: tuple[int, int, int]


def oddest(others: Sequence[Pixels]) -> tuple[int, int, int]:
    """The one of `FOREIGN_SRGB` that is farthest from the other pictures, by CIEDE2000."""
    shown = np.concatenate([lab_from_pixels(p[::16, ::16]).reshape(-1, 3) for p in others])
    apart = [
        float(np.quantile(deltaE_ciede2000(shown, _lab(colour)[None]), SHOWN_QUANTILE))
        for colour in FOREIGN_SRGB
    ]
    return FOREIGN_SRGB[int(np.argmax(apart))]


def _lab(colour: tuple[int, int, int]) -> NDArray[np.float64]:
    return lab_from_pixels(np.array([[colour]], dtype=np.uint8))[0, 0]


def _foreign(pixels: Pixels, chance: Chance) -> Pixels:
    """A coloured cloth over 8 % of the frame in a lower corner, with the shading of that area."""
    height, width = pixels.shape[:2]
    side = np.sqrt(FOREIGN_SHARE)
    rows, columns = slice(int(height * (1 - side)), None), slice(0, int(width * side))
    if chance.seed % 2:
        columns = slice(int(width * (1 - side)), None)
    changed = pixels.copy()
    texture = _linear(pixels[rows, columns]).mean(axis=-1, keepdims=True)
    shade = 0.5 + 0.5 * texture / max(float(texture.mean()), 1e-6)
    colour = _linear(np.array(chance.foreign, dtype=np.uint8))
    changed[rows, columns] = _encoded(np.minimum(shade, 1.3) * colour)
    return changed


def _unsaturated(pixels: Pixels, _: Chance) -> Pixels:
    linear = _linear(pixels)
    grey = linear @ np.array([0.2126, 0.7152, 0.0722])
    return _encoded(0.5 * linear + 0.5 * grey[..., None])


def _blurred(pixels: Pixels, _: Chance) -> Pixels:
    radius = BLUR_FRACTION * float(np.hypot(*pixels.shape[:2]))
    return np.rint(gaussian_filter(pixels.astype(float), (radius, radius, 0))).astype(np.uint8)


FAULTS: dict[str, tuple[str, Callable[[Pixels, Chance], Pixels]]] = {
    "35 mired": (
        "colour_temperature",
        lambda pixels, chance: _encoded(
            shift_mired(_linear(pixels), 35.0 if chance.seed % 2 else -35.0)
        ),
    ),
    "0.7 EV": (
        "exposure",
        # A light picture is made darker, because clipped pixels carry no exposure.
        lambda pixels, _: _encoded(_linear(pixels) * 2.0 ** (-0.7 if pixels.mean() > 127 else 0.7)),
    ),
    "foreign colour": ("palette", _foreign),
    "half saturation": ("saturation", _unsaturated),
    "blurred": ("subject_sharpness", _blurred),
}


def measured(picture: Photograph, change: Callable[[Pixels], Pixels] | None) -> MeasuredPhotograph:
    if change is not None:
        picture = replace(picture, pixels=change(picture.pixels), detail=change(picture.detail))
    return measure(picture, finder())


def named(pictures: list[MeasuredPhotograph]) -> dict[str, set[str]]:
    """The quantities for which each picture is flagged; ``focus`` is found in the picture alone."""
    named: dict[str, set[str]] = {picture.file: set() for picture in pictures}
    for quantity in describe_series(pictures).quantities:
        for outlier in quantity.outliers:
            named[outlier.file].add(quantity.quantity)
    for picture in pictures:
        focus = picture.focus.value
        if focus is not None and (not focus.subject_in_focus or focus.cause in SOFT):
            named[picture.file].add("focus")
    return named


@dataclass
class Tally:
    """Counts of planted faults that were flagged, and of unchanged pictures that were flagged."""

    right: dict[str, list[bool]] = field(default_factory=lambda: {name: [] for name in FAULTS})
    n_pictures: int = 0
    alarms: Counter[str] = field(default_factory=Counter)
    n_alarmed: int = 0

    def __str__(self) -> str:
        """Shares flagged for the right reason; unchanged pictures flagged."""
        faults = ", ".join(f"{name} {np.mean(right):.3f}" for name, right in self.right.items())
        return (
            f"{faults} of {len(self.right['blurred'])}; "
            f"{self.n_alarmed} of {self.n_pictures} unchanged flagged: {dict(self.alarms)}"
        )


def plant_and_count(
    photographs: Sequence[Photograph], number: int, n_changed: int, tally: Tally
) -> None:
    """Change some pictures of one set in turn, each in all ways, and count the flags."""
    pictures = [measured(photograph, None) for photograph in photographs]
    tally.n_pictures += len(pictures)
    for quantities in named(pictures).values():
        tally.alarms.update(quantities)
        tally.n_alarmed += bool(quantities)
    for turn in range(n_changed):
        place = (3 * number + 5 * turn) % len(pictures)
        others = [p.pixels for k, p in enumerate(photographs) if k != place]
        chance = Chance(number + turn, oddest(others))
        for name, (quantity, change) in FAULTS.items():
            changed = list(pictures)
            changed[place] = measured(photographs[place], lambda p, c=change, by=chance: c(p, by))
            flagged = named(changed)[pictures[place].file]
            tally.right[name].append(quantity in flagged or ALONE.get(quantity) in flagged)


def main() -> None:
    """Print the cumulative results after each set."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sets", type=Path)
    parser.add_argument("--a-set", type=int, default=2, help="pictures changed in each set")
    given = parser.parse_args()
    tally = Tally()
    for number, folder in enumerate(sorted(p for p in given.sets.iterdir() if p.is_dir())):
        photographs = [read_photograph(folder, p.name) for p in sorted(folder.glob("*.jpg"))]
        plant_and_count(photographs, number, given.a_set, tally)
        say(f"{folder.name}: {tally}")


def say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()

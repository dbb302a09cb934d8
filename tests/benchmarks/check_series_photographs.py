"""Planted faults in sets of food photographs of different dishes, adjusted to one look.

``python tests/benchmarks/check_series_photographs.py PHOTOGRAPHS --half odd`` draws sets of 8 to 40
photographs from a folder, adjusts those of each set to one look, changes one picture at a time like
`check_series.py`, and prints the same results. In sorted order, pictures at even places are for
development, those at odd places for tests.

A look is made by simple means, one after the other and repeatedly until all three agree:

* neutral: the shades-of-grey average (Minkowski norm 6; Finlayson and Trezzi 2004) of all pixels
  is adapted to the set's white (Bradford);
* exposure: a gain in linear light to a common mean L*;
* saturation: the distance of each pixel from the grey of its luminance is scaled to a common mean
  C*.

Values that the gain takes beyond white are clipped, as in raw development. The set's mean L* and C*
are the medians of its photographs; its white lies up to 20 mired from D65.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import (
    BRADFORD,
    LINEAR_FROM_BYTE,
    XYZ_FROM_LINEAR,
    lab_from_linear,
    shift_mired,
)
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from tests.benchmarks.check_series import Tally, plant_and_count, say

Floats = NDArray[np.float64]
SHADES_NORM = 6
N_ROUNDS = 6
WARMEST_MIRED = 20.0
FEWEST, MOST = 8, 40
STEP_PX = 4  # averages are taken of every fourth pixel in both directions
CONES_FROM_LINEAR = BRADFORD @ XYZ_FROM_LINEAR


def _shades_of_grey(linear: Floats) -> Floats:
    cones = np.maximum(linear.reshape(-1, 3) @ CONES_FROM_LINEAR.T, 0)
    return np.asarray((cones**SHADES_NORM).mean(axis=0) ** (1 / SHADES_NORM))


def _to_white(linear: Floats, gains: Floats) -> Floats:
    change = np.linalg.inv(CONES_FROM_LINEAR) @ np.diag(gains) @ CONES_FROM_LINEAR
    return np.asarray(linear @ change.T)


def _more_saturated(linear: Floats, factor: float) -> Floats:
    grey = (linear @ XYZ_FROM_LINEAR[1])[..., np.newaxis]
    return np.asarray(grey + factor * (linear - grey))


def _means(linear: Floats) -> tuple[float, float]:
    """Mean L* and C* after clipping."""
    lab = lab_from_linear(np.clip(linear, 0, 1))
    return float(lab[..., 0].mean()), float(np.hypot(lab[..., 1], lab[..., 2]).mean())


def _gain_to(linear: Floats, lightness: float) -> float:
    """Gain to a mean L*, by bisection; clipped values count as clipped."""
    low, high = -6.0, 6.0
    for _ in range(20):
        middle = (low + high) / 2
        low, high = (middle, high) if _means(linear * 2.0**middle)[0] < lightness else (low, middle)
    return 2.0 ** ((low + high) / 2)


def to_look(pixels: NDArray[np.uint8], lightness: float, chroma: float, mired: float):
    """A function of (H, W, 3) uint8 pixels that adjusts a picture to the look of the set."""
    white = CONES_FROM_LINEAR @ shift_mired(np.ones(3), mired)
    small = LINEAR_FROM_BYTE[pixels[::STEP_PX, ::STEP_PX]].astype(np.float64)
    steps: list[tuple[Floats, float, float]] = []
    for _ in range(N_ROUNDS):
        own = _shades_of_grey(np.clip(small, 0, 1))
        gains = white / own * (own[1] / white[1])
        small = _to_white(small, gains)
        factor = chroma / max(_means(small)[1], 1.0)
        small = np.maximum(_more_saturated(small, factor), 0)
        gain = _gain_to(small, lightness)
        small = small * gain
        steps.append((gains, factor, gain))

    def brought(shown: NDArray[np.uint8]) -> NDArray[np.uint8]:
        linear = LINEAR_FROM_BYTE[shown].astype(np.float64)
        for gains, factor, gain in steps:
            linear = np.maximum(_more_saturated(_to_white(linear, gains), factor), 0) * gain
        return np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)

    return brought


def one_look(photographs: Sequence[Photograph], mired: float) -> list[Photograph]:
    """Adjust photographs to one look."""
    means = [_means(LINEAR_FROM_BYTE[p.pixels[::STEP_PX, ::STEP_PX]]) for p in photographs]
    lightness, chroma = np.median(means, axis=0).tolist()
    looks = [to_look(p.pixels, lightness, chroma, mired) for p in photographs]
    return [
        replace(p, pixels=look(p.pixels), detail=look(p.detail))
        for p, look in zip(photographs, looks, strict=True)
    ]


def sets_of(folder: Path, files: Sequence[str], n: int, seed: int) -> Iterator[list[Photograph]]:
    """Randomly drawn sets, each adjusted to one look."""
    rng = np.random.default_rng(seed)
    for _ in range(n):
        size = int(rng.integers(FEWEST, min(MOST, len(files)) + 1))
        chosen = sorted(rng.choice(len(files), size, replace=False).tolist())
        mired = float(rng.uniform(-WARMEST_MIRED, WARMEST_MIRED))
        yield one_look([read_photograph(folder, files[place]) for place in chosen], mired)


def main() -> None:
    """Print the cumulative results after each set."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("--half", choices=("even", "odd"), default="even")
    parser.add_argument("--sets", type=int, default=10)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--a-set", type=int, default=3, help="pictures changed in each set")
    given = parser.parse_args()
    files = sorted(p.name for p in given.photographs.iterdir() if p.suffix == ".jpg")
    files = files[given.half == "odd" :: 2]
    tally = Tally()
    for number, photographs in enumerate(sets_of(given.photographs, files, given.sets, given.seed)):
        plant_and_count(photographs, number, given.a_set, tally)
        say(f"set {number}, {len(photographs)} pictures; {tally}")


if __name__ == "__main__":
    main()

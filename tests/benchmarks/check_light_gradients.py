"""Errors of the light under gradients laid over rendered tables; run by hand.

``python tests/benchmarks/check_light_gradients.py FOLDER [--every N]`` lays a gradient of 1 or 2 EV
in a random direction, a vignette and a radial gradient off the centre over each table of FOLDER
(``truth.json``; ``python -m fixtures.rendering tables --family FAMILY``), measures the pictures
like the program, and compares the light with the truth. Set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import LINEAR_FROM_BYTE, srgb_from_linear
from auditor.geometry import clock_difference_hours
from auditor.photograph.decode import read_photograph
from tests.benchmarks.check_geometry import Errors, say
from tests.benchmarks.geometry_of import geometry_of

SALT = 20251206
VIGNETTE_EV, RADIAL_EV = 1.5, 1.5  # at half the diagonal from the centre


def gradients(seed: int, height: int, width: int) -> Iterator[tuple[str, NDArray[np.float64]]]:
    """Name and EV, at most 0, of each gradient."""
    rng = np.random.default_rng([SALT, seed])
    half = np.hypot(height, width) / 2
    y, x = np.mgrid[:height, :width] + 0.5
    x, y = (x - width / 2) / half, (height / 2 - y) / half
    yield "none", np.zeros_like(x)
    for range_ev in (1.0, 2.0):
        angle = rng.uniform(0, 2 * np.pi)
        along = x * np.sin(angle) + y * np.cos(angle)
        yield f"gradient of {range_ev:g} EV", range_ev * (along - along.max()) / np.ptp(along)
    yield "vignette", -VIGNETTE_EV * (x**2 + y**2)
    left, up = rng.uniform(-0.5, 0.5, 2)
    yield "radial, off the centre", -RADIAL_EV * np.hypot(x - left, y - up)


def laid_over(pixels: NDArray[np.uint8], ev: NDArray[np.float64]) -> NDArray[np.uint8]:
    """A picture under a gradient of linear light."""
    linear = LINEAR_FROM_BYTE[pixels] * 2.0 ** ev[..., np.newaxis]
    return np.rint(255 * srgb_from_linear(np.clip(linear, 0, 1))).astype(np.uint8)


def main() -> None:
    """Print the errors under each gradient."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--every", type=int, default=1, help="use every n-th table")
    given = parser.parse_args()
    truth = json.loads((given.folder / "truth.json").read_text())
    light: dict[str, Errors] = {}
    for seed, (file, true) in enumerate(sorted(truth.items())[:: given.every]):
        photograph = read_photograph(given.folder, file)
        for name, ev in gradients(seed, *photograph.pixels.shape[:2]):
            graded = replace(photograph, pixels=laid_over(photograph.pixels, ev))
            measured = geometry_of(graded).measured.light
            error = None
            if measured.value is not None:
                error = 30 * clock_difference_hours(measured.value.clock, true["light"]["clock"])
            errors = light.setdefault(name, Errors(f"light, degrees, {name}", (22.5, 45), 45))
            errors.add(error, measured.confidence)
    for errors in light.values():
        say(errors)


if __name__ == "__main__":
    main()

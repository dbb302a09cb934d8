"""Roll of photographs with plain uprights that are turned by known angles, and of overhead ones.

``python tests/benchmarks/check_roll.py PHOTOGRAPHS fixtures/level_pictures.json [checking]``
needs a folder with the pictures that the marks name. It prints how many of the turned pictures have
a roll and how far it is off, how much of that the error of the marks explains, and how many
overhead pictures wrongly have one. ``development`` uses the pictures that the rules were chosen by.
Set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from tests.benchmarks.check_geometry import Errors, say
from tests.benchmarks.geometry_of import geometry_of

TURNS_DEG = {"checking": (-6.0, -2.5, 1.5, 5.0), "development": (-5.5, -2.0, 1.0, 4.0)}
MARGIN_PX = 2  # bicubic interpolation mixes in the blank corners so far


def check_tilted(photographs: Path, marks: list[dict[str, str | float]], kind: str) -> None:
    """Print the errors on pictures that are turned by known angles."""
    roll = Errors("roll, degrees", (0.5, 1, 2), 1)
    single, mark_errors = [], []
    for mark in marks:
        folder, name = str(mark["file"]).rsplit("/", 1)
        picture = read_photograph(photographs / folder, name)
        answers = []
        for turn_deg in TURNS_DEG[kind]:
            measured = geometry_of(_turned(picture, turn_deg)).measured.roll
            true = float(mark["tilt_deg"]) + turn_deg
            off = None if measured.value is None else measured.value.deg - true
            roll.add(off, measured.confidence)
            answers.append("-" if off is None else f"{off:+.2f}")
            if off is not None:
                single.append((str(mark["file"]), off))
                mark_errors.append(float(mark["error_deg"]))
        say(f"  {mark['file']}: off by {', '.join(answers)} (mark +-{mark['error_deg']})")
    say(roll)
    by_picture: dict[str, list[float]] = {}
    for file, off in single:
        by_picture.setdefault(file, []).append(off)
    steady = [abs(off - np.median(offs)) for offs in by_picture.values() for off in offs]
    say(
        f"marks: standard error {np.median(mark_errors):.2f} (median); turning a picture changes "
        f"the answer by {np.median(steady):.2f} (median), within 1: "
        f"{np.mean(np.array(steady) <= 1):.3f}"
    )


def check_overhead(photographs: Path, files: list[str]) -> None:
    """Print how many overhead pictures have a roll."""
    told = []
    for file in files:
        folder, name = file.rsplit("/", 1)
        roll = geometry_of(read_photograph(photographs / folder, name)).measured.roll
        if roll.value is not None:
            told.append(file)
            say(f"  {file}: {roll.value.deg:+.1f} at {roll.confidence:.2f}")
    say(f"overhead: {len(files)} pictures, without a roll {1 - len(told) / len(files):.3f}")


def _turned(picture: Photograph, turn_deg: float) -> Photograph:
    """The largest inner frame of the same shape, after a rotation counter-clockwise."""
    pixels, detail = (_inner(part, turn_deg) for part in (picture.pixels, picture.detail))
    return replace(
        picture, pixels=pixels, detail=detail, width=pixels.shape[1], height=pixels.shape[0]
    )


def _inner(pixels: NDArray[np.uint8], turn_deg: float) -> NDArray[np.uint8]:
    image = Image.fromarray(pixels).rotate(turn_deg, Image.Resampling.BICUBIC)
    width, height = image.size
    sine, cosine = math.sin(math.radians(abs(turn_deg))), math.cos(math.radians(turn_deg))
    kept = min(width / (width * cosine + height * sine), height / (width * sine + height * cosine))
    left = math.ceil(width * (1 - kept) / 2) + MARGIN_PX
    top = math.ceil(height * (1 - kept) / 2) + MARGIN_PX
    return np.ascontiguousarray(np.asarray(image)[top : height - top, left : width - left])


def main() -> None:
    """Run the check on the pictures that the arguments name."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("marks", type=Path)
    parser.add_argument("kind", nargs="?", choices=tuple(TURNS_DEG), default="checking")
    given = parser.parse_args()
    marks = json.loads(given.marks.read_text())[given.kind]
    check_tilted(given.photographs, marks["tilted"], given.kind)
    check_overhead(given.photographs, marks["overhead"])


if __name__ == "__main__":
    main()

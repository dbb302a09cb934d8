"""Figures of lines, angles and light; run by hand after these measurements change.

``python tests/benchmarks/check_geometry.py tables FOLDER FAMILY`` holds camera elevation, light,
roll and diagonal against the truth of rendered tables (``truth.json``; ``python -m
fixtures.rendering tables --family FAMILY``). ``views FOLDER`` holds camera elevation against
``views.json`` ("top" or "side"). ``turned FOLDER`` mirrors and rotates photographs. Every one also
prints the time of one core; set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import json
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.geometry import clock_difference_hours, fold_angle_deg
from auditor.photograph.decode import read_photograph
from fixtures.rendering.batch import FAMILIES
from fixtures.rendering.family import scene_of
from tests.benchmarks.check_geometry_turned import check_turned
from tests.benchmarks.geometry_of import FrameGeometry, geometry_of

ROUND = {
    "grain_bowl", "burger_plate", "egg_pan", "lattice_pie", "flan_plate", "noodle_soup",
    "berry_dish", "mug", "ramekin", "rusk_saucer",
    "stew_bowl", "pancake_stack", "pasta_plate", "curry_plate", "layer_cake",
    "plum_bowl", "pizza", "sauce_bowl", "pinch_bowl",
}  # fmt: skip
LEAST_SHARE = 0.01  # of the frame: a smaller dish is not seen as one
TOP_DEG, SIDE_DEG = 62.0, 28.0
BINS = (0.0, 0.6, 0.7, 0.8, 0.9, 0.95, 1.01)


class Errors:
    """Errors of one quantity over many pictures, with what was said of them."""

    def __init__(self, name: str, within: tuple[float, ...], tolerance: float) -> None:
        self.name, self.limits, self.tolerance = name, within, tolerance
        self.n_pictures = 0
        self.errors: list[float] = []
        self.confidences: list[float] = []

    def add(self, error: float | None, confidence: float | None) -> None:
        """Add a picture; None where there was no answer."""
        self.n_pictures += 1
        if error is not None and confidence is not None:
            self.errors.append(abs(error))
            self.confidences.append(confidence)

    def __str__(self) -> str:
        errors, said = np.array(self.errors), np.array(self.confidences)
        if not errors.size:
            return f"{self.name}: {self.n_pictures} pictures, none answered"
        right = errors <= self.tolerance
        gaps = [
            abs(said[inside].mean() - right[inside].mean()) * inside.mean()
            for low, high in pairwise(BINS)
            if (inside := (said >= low) & (said < high)).any()
        ]
        shares = ", ".join(f"within {at:g}: {np.mean(errors <= at):.3f}" for at in self.limits)
        return (
            f"{self.name}: {self.n_pictures} pictures, answered {errors.size / self.n_pictures:.3f}"
            f", median {np.median(errors):.2f}, {shares}; said {said.mean():.3f}, right "
            f"{right.mean():.3f}, ECE {sum(gaps):.3f}"
        )


def check_tables(folder: Path, family: str) -> None:
    """Print how well the truth of rendered tables is told."""
    truth = json.loads((folder / "truth.json").read_text())
    elevation = Errors("elevation, degrees", (3, 10), 10)
    of_round = Errors("the same, tables with a round dish", (3, 10), 10)
    light = Errors("light, degrees", (22.5, 45), 45)
    roll = Errors("roll, degrees", (0.5, 1), 1)
    diagonal = Errors("diagonal where one was set, degrees", (1, 3), 3)
    found = []
    for file, true in sorted(truth.items()):
        found.append(geometry_of(read_photograph(folder, file)))
        told = found[-1].measured
        angle = told.camera_elevation.value
        error = None if angle is None else angle.deg - true["camera_elevation_deg"]
        elevation.add(error, told.camera_elevation.confidence)
        if _shows_round_dish(Path(file).stem, family, true):
            of_round.add(error, told.camera_elevation.confidence)
        key = told.light.value
        hours = None if key is None else clock_difference_hours(key.clock, true["light"]["clock"])
        light.add(None if hours is None else 30 * hours, told.light.confidence)
        tilt = told.roll.value
        roll.add(None if tilt is None else tilt.deg - true["roll_deg"], told.roll.confidence)
        if true["diagonal"] is not None:
            line = told.diagonal.value
            off = None if line is None else line.angle_deg - true["diagonal"]["angle_deg"]
            diagonal.add(None if off is None else fold_angle_deg(off), told.diagonal.confidence)
    for line in (elevation, of_round, light, roll, diagonal):
        say(line)
    say_time(found)


def _shows_round_dish(name: str, family: str, true: dict[str, object]) -> bool:
    if family not in FAMILIES:
        return True
    scene = scene_of(int(name), FAMILIES[family])
    elements = true["elements"]
    assert isinstance(elements, list)
    large = {e["name"].split()[0] for e in elements if e["area_fraction"] >= LEAST_SHARE}
    return scene.subject.recipe in ROUND or bool(large & ROUND)


def check_views(folder: Path) -> None:
    """Print how often pictures from above and from the side are told apart."""
    views = json.loads((folder / "views.json").read_text())
    right, found = [], []
    for entry in views:
        told = geometry_of(read_photograph(folder, entry["file"]))
        found.append(told)
        if told.measured.camera_elevation.value is not None:
            deg = told.measured.camera_elevation.value.deg
            right.append(deg >= TOP_DEG if entry["view"] == "top" else deg <= SIDE_DEG)
    say(f"views: {len(views)}, answered {len(right) / len(views):.3f}, right {np.mean(right):.3f}")
    say_time(found)


def say_time(found: list[FrameGeometry]) -> None:
    """Print milliseconds of one core by step, the median, and the 90th percentile of the sum."""
    steps = {step: np.median([1000 * told.seconds[step] for told in found]) for step in
             found[0].seconds}  # fmt: skip
    total = [1000 * sum(told.seconds.values()) for told in found]
    say(f"ms: {np.median(total):.0f} median, {np.quantile(total, 0.9):.0f} at 90 %; "
        + ", ".join(f"{step} {value:.1f}" for step, value in steps.items()))  # fmt: skip


def say(text: object) -> None:
    """Print at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def main() -> None:
    """Read the arguments and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kind", choices=("tables", "views", "turned"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("family", nargs="?", default="", help="of rendered tables")
    given = parser.parse_args()
    if given.kind == "tables":
        check_tables(given.folder, given.family)
    elif given.kind == "views":
        check_views(given.folder)
    else:
        for line in check_turned(given.folder):
            say(line)


if __name__ == "__main__":
    main()

"""Errors of lines, angles and light; run by hand after these measurements change.

``python tests/benchmarks/check_geometry.py tables FOLDER FAMILY`` compares camera elevation, light,
roll and diagonal with the truth of rendered tables (``truth.json``; ``python -m
fixtures.rendering tables --family FAMILY``). ``views FOLDER`` compares camera elevation with
``views.json`` ("top" or "side"). ``turned FOLDER`` mirrors and rotates photographs. All of them
also print the time of one core; set OMP_NUM_THREADS=1 on a shared machine.
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
LEAST_SHARE = 0.01  # of the frame: a smaller dish is ignored
TOP_DEG, SIDE_DEG = 62.0, 28.0
BINS = (0.0, 0.6, 0.7, 0.8, 0.9, 0.95, 1.01)


class Errors:
    """Errors of one quantity over many pictures, with the confidences."""

    def __init__(self, name: str, within: tuple[float, ...], tolerance: float) -> None:
        self.name, self.limits, self.tolerance = name, within, tolerance
        self.n_pictures = 0
        self.errors: list[float] = []
        self.confidences: list[float] = []

    def add(self, error: float | None, confidence: float | None) -> None:
        """Add a picture; None if it has no value."""
        self.n_pictures += 1
        if error is not None and confidence is not None:
            self.errors.append(abs(error))
            self.confidences.append(confidence)

    def __str__(self) -> str:
        errors, confidences = np.array(self.errors), np.array(self.confidences)
        if not errors.size:
            return f"{self.name}: {self.n_pictures} pictures, none with a value"
        right = errors <= self.tolerance
        gaps = [
            abs(confidences[inside].mean() - right[inside].mean()) * inside.mean()
            for low, high in pairwise(BINS)
            if (inside := (confidences >= low) & (confidences < high)).any()
        ]
        shares = ", ".join(f"within {at:g}: {np.mean(errors <= at):.3f}" for at in self.limits)
        return (
            f"{self.name}: {self.n_pictures} pictures, measured {errors.size / self.n_pictures:.3f}"
            f", median {np.median(errors):.2f}, {shares}; confidence {confidences.mean():.3f}, "
            f"right {right.mean():.3f}, ECE {sum(gaps):.3f}"
        )


def check_tables(folder: Path, family: str) -> None:
    """Print the errors on rendered tables."""
    truth = json.loads((folder / "truth.json").read_text())
    elevation = Errors("elevation, degrees", (3, 10), 10)
    of_round = Errors("the same, tables with a round dish", (3, 10), 10)
    light = Errors("light, degrees", (22.5, 45), 45)
    roll = Errors("roll, degrees", (0.5, 1), 1)
    diagonal = Errors("diagonal where one was set, degrees", (1, 3), 3)
    found = []
    for file, true in sorted(truth.items()):
        found.append(geometry_of(read_photograph(folder, file)))
        measured = found[-1].measured
        angle = measured.camera_elevation.value
        error = None if angle is None else angle.deg - true["camera_elevation_deg"]
        elevation.add(error, measured.camera_elevation.confidence)
        if _shows_round_dish(Path(file).stem, family, true):
            of_round.add(error, measured.camera_elevation.confidence)
        key = measured.light.value
        hours = None if key is None else clock_difference_hours(key.clock, true["light"]["clock"])
        light.add(None if hours is None else 30 * hours, measured.light.confidence)
        tilt = measured.roll.value
        roll.add(None if tilt is None else tilt.deg - true["roll_deg"], measured.roll.confidence)
        if true["diagonal"] is not None:
            line = measured.diagonal.value
            off = None if line is None else line.angle_deg - true["diagonal"]["angle_deg"]
            diagonal.add(None if off is None else fold_angle_deg(off), measured.diagonal.confidence)
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
    """Print how often pictures from above and from the side are classified correctly."""
    views = json.loads((folder / "views.json").read_text())
    right, found = [], []
    for entry in views:
        found.append(geometry_of(read_photograph(folder, entry["file"])))
        elevation = found[-1].measured.camera_elevation.value
        if elevation is not None:
            deg = elevation.deg
            right.append(deg >= TOP_DEG if entry["view"] == "top" else deg <= SIDE_DEG)
    say(f"views: {len(views)}, measured {len(right) / len(views):.3f}, right {np.mean(right):.3f}")
    say_time(found)


def say_time(found: list[FrameGeometry]) -> None:
    """Print milliseconds of one core: median and 90th percentile of the sum, median per step."""
    steps = {step: np.median([1000 * one.seconds[step] for one in found]) for step in
             found[0].seconds}  # fmt: skip
    total = [1000 * sum(one.seconds.values()) for one in found]
    say(f"ms: {np.median(total):.0f} median, {np.quantile(total, 0.9):.0f} at 90 %; "
        + ", ".join(f"{step} {value:.1f}" for step, value in steps.items()))  # fmt: skip


def say(text: object) -> None:
    """Print a line and flush."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def main() -> None:
    """Run the check named by the arguments."""
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

"""Camera elevation against truth too large for the tests; run by hand after it changes.

``ranges PHOTOGRAPHS RANGES.json`` compares with ranges that someone gave by eye before any
measurement was known: ``{"file": {"range_deg": [low, high]}}``. ``steep TABLES`` takes the rendered
tables (``python -m fixtures.rendering tables --family FAMILY``) with a true elevation of 80 degrees
or more. ``crops`` projects circles on a table exactly, crops their frames at an edge and counts how
often the error is within 1.44 spreads, where 85 % of normal errors are, and within 10 degrees.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.geometry import Ellipse, Point, fold_angle_deg
from auditor.measurements.camera_elevation import CameraElevation, measure_camera_elevation
from auditor.measurements.camera_elevation.circle_pose import FULL_FRAME_DIAGONAL_MM
from auditor.measurements.rims.ellipse_fit import fit_ellipses
from auditor.photograph.decode import read_photograph
from auditor.quantity import Quantity
from tests.benchmarks.geometry_of import geometry_of

STEEP_DEG, TOLERANCE_DEG = 80.0, 10.0
SPREADS = 1.44  # a normal error is smaller than this many standard deviations in 85 % of cases
RATIOS = {"whole": None, "4:5": 4 / 5, "1:1": 1.0, "16:9": 16 / 9}
FOCAL_LENGTHS_MM = ((24.0, 28.0, 35.0), (50.0, 85.0))
NOISE_PX = 0.8  # of points on a rim, in a frame of 1000 px


def say(line: str) -> None:
    """Write a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def measured(folder: Path, file: str) -> Quantity[CameraElevation]:
    """Camera elevation of a picture, measured like the program does."""
    return geometry_of(read_photograph(folder, file)).measured.camera_elevation


def check_ranges(folder: Path, ranges: dict[str, dict[str, list[float]]]) -> None:
    """Print how many pictures are answered, and how many of these are in their range."""
    confidences, inside = [], 0
    for file, given in ranges.items():
        low, high = given["range_deg"]
        found = measured(folder, file)
        if found.value is None or found.confidence is None:
            say(f"{file}: {low:g} to {high:g}, {found.reason}")
            continue
        is_inside = low <= found.value.deg <= high
        inside += is_inside
        confidences.append(found.confidence)
        say(f"{file}: {low:g} to {high:g}, {found.value.deg:.0f}{'' if is_inside else ' OUT'}")
    answered = len(confidences)
    say(
        f"{len(ranges)} pictures, answered {answered / len(ranges):.2f}, "
        f"in the range {inside / max(answered, 1):.2f}, confidence {np.mean(confidences):.2f}"
    )


def check_steep(folder: Path) -> None:
    """Print how many tables seen from nearly overhead are read within the tolerance."""
    truth = json.loads((folder / "truth.json").read_text())
    steep = {f: t["camera_elevation_deg"] for f, t in truth.items()}
    steep = {file: deg for file, deg in steep.items() if deg >= STEEP_DEG}
    found = {file: measured(folder, file) for file in steep}
    values = {f: q.value.deg for f, q in found.items() if q.value is not None}
    right = sum(abs(deg - steep[file]) <= TOLERANCE_DEG for file, deg in values.items())
    say(f"{len(steep)} tables, answered {len(values)}, within {TOLERANCE_DEG:g} degrees {right}")


def check_crops(seed: int, n_each: int) -> None:
    """Print how often the stated error holds on crops, by their ratio and the focal length."""
    rng = np.random.default_rng(seed)
    for name, ratio in RATIOS.items():
        for lengths in FOCAL_LENGTHS_MM:
            rows = [crop_error(rng, ratio, float(rng.choice(lengths))) for _ in range(n_each)]
            error, spread, confidence = np.array([row for row in rows if row is not None]).T
            say(
                f"{name}, {lengths[0]:g} to {lengths[-1]:g} mm: {error.size} crops, within "
                f"{SPREADS:g} spreads {np.mean(error <= SPREADS * spread):.2f}, within "
                f"{TOLERANCE_DEG:g} degrees {np.mean(error <= TOLERANCE_DEG):.2f}, "
                f"confidence {confidence.mean():.2f}"
            )


def crop_error(
    rng: np.random.Generator, ratio: float | None, focal_length_mm: float
) -> tuple[float, float, float] | None:
    """Error, spread and confidence of one crop; None where the circle is not seen."""
    long_px = 1000 * rng.choice([3 / 2, 4 / 3])
    frame = np.array([long_px, 1000.0] if rng.random() < 0.7 else [1000.0, long_px])
    if ratio is not None and ratio > 1 and frame[0] < frame[1]:
        ratio = 1 / ratio  # 16:9 from an upright frame is upright
    width, height = frame
    if ratio is not None:
        width, height = min(width, height * ratio), min(height, width / ratio)
    size = np.array([width, height])
    corner = rng.integers(2) * (frame - size)  # at one edge or at the other
    focal_px = focal_length_mm / FULL_FRAME_DIAGONAL_MM * np.hypot(*frame)
    elevation, roll = np.radians(rng.uniform(10, 88)), np.radians(rng.normal(0, 1.5))
    rim = _rim(rng, (frame, corner, size), focal_px, elevation, roll)
    if rim is None:
        return None
    found = measure_camera_elevation([(rim, 0.97, 0.003)], width, height, focal_length_mm)
    if found.value is None or found.spread is None or found.confidence is None:
        return None
    return abs(found.value.deg - np.degrees(elevation)), found.spread, found.confidence


def _rim(
    rng: np.random.Generator,
    crop: tuple[np.ndarray, np.ndarray, np.ndarray],
    focal_px: float,
    elevation: float,
    roll: float,
) -> Ellipse | None:
    """The image of a circle on the table, as an ellipse of the crop (frame, corner, size)."""
    frame, corner, size = crop
    turn = np.array([[np.cos(roll), np.sin(roll)], [-np.sin(roll), np.cos(roll)]])
    at = corner + size * rng.uniform((0.25, 0.3), (0.75, 0.75))
    across, down = (at - frame / 2) / focal_px @ turn
    sine, cosine = np.sin(elevation), np.cos(elevation)
    drop = sine + down * cosine
    if drop < 0.1:  # near the horizon
        return None
    diagonal = np.hypot(*size)
    radius = rng.uniform(0.1, 0.28) * diagonal / focal_px / drop
    t = np.linspace(0, 2 * np.pi, 72, endpoint=False)
    right = across / drop + radius * np.cos(t)
    away = (cosine - down * sine) / drop + radius * np.sin(t)
    depth = away * cosine + sine
    if depth.min() < 0.2:
        return None
    image = np.stack([right, cosine - away * sine], axis=-1) / depth[:, None] @ turn.T
    points = frame / 2 + focal_px * image - corner
    x, y, a, b, theta = fit_ellipses(points[None] + rng.normal(0, NOISE_PX, (1, 72, 2)))[0]
    if a < b:
        a, b, theta = b, a, theta + np.pi / 2
    angle_deg = fold_angle_deg(-float(np.degrees(theta)))
    return Ellipse(Point(x / size[0], y / size[1]), (a / diagonal, b / diagonal), angle_deg)


def main() -> None:
    """Read the arguments and print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    kinds = parser.add_subparsers(dest="kind", required=True)
    ranges = kinds.add_parser("ranges")
    ranges.add_argument("folder", type=Path)
    ranges.add_argument("ranges", type=Path)
    steep = kinds.add_parser("steep")
    steep.add_argument("folder", type=Path)
    crops = kinds.add_parser("crops")
    crops.add_argument("--seed", type=int, default=7)
    crops.add_argument("--each", type=int, default=250)
    given = parser.parse_args()
    if given.kind == "ranges":
        check_ranges(given.folder, json.loads(given.ranges.read_text()))
    elif given.kind == "steep":
        check_steep(given.folder)
    else:
        check_crops(given.seed, given.each)


if __name__ == "__main__":
    main()

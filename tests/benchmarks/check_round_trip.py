"""Check that a drawn plan gives the plan back: plan, sheet, draft from the drawing; run by hand.

Plans of one shot each are drawn from a seed, with varied ratios, techniques, camera angles, places,
sizes, light and empty space. `auditor plan sheet` draws them, `auditor plan draft` reads the
pictures, which hold nothing but the drawing. Reported are how many values come back within the
tolerance of their quantity, and each one that does not.

    python tests/benchmarks/check_round_trip.py [--seed N] [--plans N] [--keep FOLDER]

Choose with seeds below 100; figures that are written down come from seeds from 100 on.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.errors import InvalidPlanError
from auditor.geometry import Point, clock_difference_hours, distance_fraction
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import Intent
from auditor.quantities import tolerance_rule
from tests.benchmarks.drawn_plans import PlannedFrame, drawn_plans

# The drawing is exact, so the subject has to come back better than the tolerances ask for: within
# this part of the diagonal, and of its own size.
AIMED_AT_PLACE, AIMED_AT_SIZE = 0.03, 0.2
RATIO_TOLERANCE = 0.02  # relative


@dataclass(frozen=True)
class Result:
    """One value that should have come back."""

    quantity: str
    planned: object
    read: object
    is_within: bool


def tolerance(quantity: str) -> float:
    """The default tolerance of a quantity."""
    return tolerance_rule(quantity).default


def compare(planned: PlannedFrame, read: Intent) -> Iterator[Result]:
    """Compare what was planned with what was read from its drawing."""
    ratio = planned.aspect_ratio
    found = read.aspect_ratio.nominal if read.aspect_ratio else None
    near = found is not None and abs(found / ratio - 1) <= RATIO_TOLERANCE
    yield Result("aspect ratio", planned.ratio, found, near)
    technique = read.techniques[0] if read.techniques else None
    yield Result("technique", planned.technique, technique, technique == planned.technique)
    yield from _subject(planned, read)
    yield from _supporting(planned, read)
    elevation = read.camera_elevation.nominal if read.camera_elevation else None
    within = (
        elevation is not None
        and abs(elevation - planned.elevation) <= tolerance("camera_elevation")
    )  # fmt: skip
    yield Result("camera elevation", planned.elevation, elevation, within)
    yield _light(planned, read)
    yield from _empty(planned, read)


def _subject(planned: PlannedFrame, read: Intent) -> Iterator[Result]:
    at = read.subject.at if read.subject else None
    off = None if at is None else _distance(at, planned.subject, planned)
    place = f"{at} off by {off:.3f}" if off is not None else None
    is_near = off is not None and off <= AIMED_AT_PLACE
    yield Result("subject's place", planned.subject, place, is_near)
    size = read.subject.size.nominal if read.subject and read.subject.size else None
    within = size is not None and abs(size / planned.size - 1) <= AIMED_AT_SIZE
    yield Result("subject's size", planned.size, size, within)


def _supporting(planned: PlannedFrame, read: Intent) -> Iterator[Result]:
    left = [thing.at for thing in read.supporting if thing.at is not None]
    for name, at, _ in planned.supporting:
        nearest = min(left, key=lambda one: _distance(one, at, planned), default=None)
        off = None if nearest is None else _distance(nearest, at, planned)
        is_near = off is not None and off <= tolerance("supporting")
        if nearest is not None and is_near:
            left.remove(nearest)
        yield Result("supporting elements", f"{name} {at}", nearest, is_near)
    yield Result("nothing else", 0, len(left), not left)


def _distance(a: Point, b: Point, planned: PlannedFrame) -> float:
    return distance_fraction(a, b, planned.aspect_ratio, 1.0)


def _light(planned: PlannedFrame, read: Intent) -> Result:
    clock = read.light.nominal if read.light else None
    if planned.clock is None or clock is None:
        return Result("light", planned.clock, clock, planned.clock == clock)
    off = abs(clock_difference_hours(clock, planned.clock))
    return Result("light", planned.clock, clock, off <= tolerance("light"))


def _empty(planned: PlannedFrame, read: Intent) -> Iterator[Result]:
    """The empty space where the draft gives it."""
    if planned.empty is None:
        return
    if read.negative_space is not None:
        share = read.negative_space.nominal
        within = abs(share - planned.empty) <= tolerance("negative_space")
        yield Result("empty share", planned.empty, share, within)
    if read.negative_space_sides:
        sides = read.negative_space_sides
        yield Result("empty side", planned.side, sides, planned.side in sides)


def draft(picture: Path, folder: Path) -> Intent | None:
    """Read a picture of a drawn frame back; None where it does not give one shot."""
    plan = folder / f"{picture.stem}.toml"
    if not _run("draft", str(picture), "--from", "sketch", "--overwrite", "--out", str(plan)):
        return None
    try:
        shots = read_plan(plan).shots
    except InvalidPlanError:
        return None
    return shots[0].intent if len(shots) == 1 else None


def tell(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def _run(*arguments: str) -> bool:
    """Run a command of `auditor plan`; True if it did what it should."""
    command = [sys.executable, "-m", "auditor", "plan", *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        tell(done.stderr.strip())
    return done.returncode == 0


def check(seed: int, n: int, folder: Path) -> dict[str, list[bool]]:
    """Draw plans and read them back; prints what does not come back."""
    planned = drawn_plans(seed, n)
    plan = folder / "plan.toml"
    plan.write_text("\n".join(one.as_toml() for one in planned), encoding="utf-8")
    _run("sheet", str(plan), "--out", str(folder / "sheet"))
    pictures = sorted((folder / "sheet" / "frames").iterdir())
    within: dict[str, list[bool]] = defaultdict(list)
    for one, picture in zip(planned, pictures, strict=True):
        intent = draft(picture, folder)
        within["a frame is read"].append(intent is not None)
        results = list(compare(one, intent or Intent()))
        for result in results:
            within[result.quantity].append(result.is_within)
        missed = [f"{r.quantity}: {r.planned} → {r.read}" for r in results if not r.is_within]
        tell(f"{picture.stem} ({one.technique}): {'; '.join(missed) or 'as planned'}")
    return within


def main() -> None:
    """Run the check."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=100)
    parser.add_argument("--plans", type=int, default=30)
    parser.add_argument("--keep", type=Path)
    options = parser.parse_args()
    with TemporaryDirectory() as temporary:
        folder = options.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        within = check(options.seed, options.plans, folder)
    tell("")
    for quantity, results in within.items():
        tell(f"{quantity:20} {sum(results):3} of {len(results):3}")
    tell(f"{'all':20} {sum(map(sum, within.values())):3} of {sum(map(len, within.values())):3}")


if __name__ == "__main__":
    main()

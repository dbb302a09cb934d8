"""What is read from pages of sketches against what is drawn on them; run by hand.

``python tests/benchmarks/check_sketches.py FOLDER [--list] [--only NAME …]`` reads pages with their
truth (``NAME.json`` beside each picture), as ``python -m fixtures.sketching pages`` writes them:
``--family choosing`` to choose with, ``--family checking`` and seeds never looked at for figures.

A frame counts as found if its corners lie within `CORNER_SHARE` of its long side; what it shows is
also compared where the corners lie within `SAME_FRAME_SHARE`. The first column of figures counts
what belongs to a frame that was not found as wrong, the second one leaves it out. A thing that the
frame cuts is neither asked for nor held against the reader.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np

from auditor.errors import AuditorError
from auditor.geometry import Point, clock_difference_hours, distance_fraction
from auditor.sketch.drawn import DrawnFrame
from auditor.sketch.reading import read_page
from auditor.vocabulary.camera_angle import CAMERA_WORDS

CORNER_SHARE = 0.03  # of the frame's long side
SAME_FRAME_SHARE = 0.15  # of the frame's long side: the same frame, though not well found
RATIO_ERROR = 0.08  # relative
SUBJECT_DISTANCE = 0.05  # of the frame's diagonal: a step between thirds and golden ratio
SUBJECT_SIZE = 0.03  # of the frame: half of what a plan allows
THING_DISTANCE = 0.06  # of the frame's diagonal
ANGLE_DEG = 10.0
LIGHT_HOURS = 0.75  # half a step between the eight directions
LEVEL_DEG, OVERHEAD_DEG = CAMERA_WORDS[0][0], CAMERA_WORDS[-2][0]

# What is counted, in this order, with the goal where there is one.
GOALS = {
    "pages with all frames found": "0.95",
    "pages without frames refused": "",
    "frames found": "",
    "aspect ratio within 8 %": "0.90",
    "technique right where drawn": "0.90",
    "no technique invented": "0.90",
    "subject within 0.05": "0.90",
    "subject's size within 0.03": "",
    "supporting elements found (recall)": "0.85",
    "supporting elements that are there (precision)": "0.85",
    "camera angle where drawn": "0.80",
    "no camera angle invented": "",
    "light within 0.75 h where drawn": "0.85",
    "no light invented": "0.90",
    "side kept empty, where hatched": "",
}


@dataclass
class Tally:
    """Right and all, of each thing that is counted; the same of frames that were found."""

    right: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    total: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    found: dict[str, int] = field(default_factory=lambda: defaultdict(int))

    def count(self, what: str, is_right: bool, *, in_found_frame: bool = True) -> None:
        """One more."""
        self.right[what] += is_right
        self.total[what] += 1
        self.found[what] += in_found_frame


def farthest_corner(truth: dict[str, Any], frame: DrawnFrame) -> float:
    """The largest distance of corners, as a share of the true frame's long side."""
    corners = np.array(truth["corners"])
    long_side = max(float(np.hypot(*(corners[k] - corners[k - 1]))) for k in range(4))
    return float(np.hypot(*(frame.page.corners - corners).T).max()) / long_side


def matched(
    truths: Sequence[dict[str, Any]], frames: Sequence[DrawnFrame]
) -> list[tuple[dict[str, Any], DrawnFrame | None, float]]:
    """Each true frame with the closest one read, at most one each, and how far its corners are."""
    pairs = sorted(
        (farthest_corner(truth, frame), t, f)
        for t, truth in enumerate(truths)
        for f, frame in enumerate(frames)
    )
    taken: dict[int, tuple[int, float]] = {}
    for distance, t, f in pairs:
        is_free = t not in taken and f not in {other for other, _ in taken.values()}
        if distance < SAME_FRAME_SHARE and is_free:
            taken[t] = f, distance
    out = []
    for t, truth in enumerate(truths):
        f, distance = taken.get(t, (-1, float("inf")))
        out.append((truth, frames[f] if f >= 0 else None, distance))
    return out


def distance(truth: dict[str, Any], centre: Point, ratio: float) -> float:
    """Distance from a true thing's centre, as a fraction of the frame's diagonal."""
    return distance_fraction(Point(*truth["centre"]), centre, ratio, 1.0)


def check_supporting(truth: dict[str, Any], frame: DrawnFrame, tally: Tally) -> list[str]:
    """Match supporting elements, closest first."""
    ratio = truth["aspect_ratio"]
    asked = truth["supporting"]
    pairs = sorted(
        (distance(one, thing.centre, ratio), a, b)
        for a, one in enumerate(asked)
        for b, thing in enumerate(frame.supporting)
    )
    of_truth: dict[int, int] = {}
    for away, a, b in pairs:
        if away <= THING_DISTANCE and a not in of_truth and b not in of_truth.values():
            of_truth[a] = b
    faults = []
    for a, one in enumerate(asked):
        if not one["cut"]:
            tally.count("supporting elements found (recall)", a in of_truth)
            if a not in of_truth:
                faults.append(f"supporting {one['name']} at {one['centre']} not found")
    cut = {b for a, b in of_truth.items() if asked[a]["cut"]}
    for b, thing in enumerate(frame.supporting):
        if b in cut:
            continue
        tally.count("supporting elements that are there (precision)", b in of_truth.values())
        if b not in of_truth.values():
            place = f"({thing.centre.x:.2f}, {thing.centre.y:.2f})"
            faults.append(f"nothing is drawn at {place}, area {thing.area_fraction:.3f}")
    return faults


def is_right_angle(truth_deg: float, read_deg: float) -> bool:
    """Whether a camera angle is right: by kind at both ends, else within `ANGLE_DEG`."""
    if truth_deg >= OVERHEAD_DEG:
        return read_deg > OVERHEAD_DEG
    if truth_deg <= LEVEL_DEG:
        return read_deg <= LEVEL_DEG
    return abs(truth_deg - read_deg) <= ANGLE_DEG


def check_value(
    truth: Any, read: Any, names: tuple[str, str], is_right: bool, tally: Tally
) -> list[str]:
    """Count a value that is drawn, or that is not drawn and must not be invented."""
    drawn, invented = names
    if truth is None:
        tally.count(invented, read is None)
        return [f"{invented}: read {read}"] if read is not None else []
    tally.count(drawn, read is not None and is_right)
    if read is not None and is_right:
        return []
    return [f"{drawn}: drawn {truth}, read {read}"]


def check_subject(truth: dict[str, Any], frame: DrawnFrame, tally: Tally) -> list[str]:
    """The subject's place and size."""
    asked, read = truth["subject"], frame.subject
    away = distance(asked, read.centre, truth["aspect_ratio"]) if read else float("inf")
    larger = abs(asked["area_fraction"] - read.area_fraction) if read else float("inf")
    tally.count("subject within 0.05", away <= SUBJECT_DISTANCE)
    tally.count("subject's size within 0.03", larger <= SUBJECT_SIZE)
    faults = []
    if away > SUBJECT_DISTANCE:
        faults.append(f"subject {asked['name']} is {away:.3f} away")
    if larger > SUBJECT_SIZE:
        faults.append(f"subject {asked['name']}: size is {larger:.3f} off")
    return faults


def check_frame(truth: dict[str, Any], frame: DrawnFrame, tally: Tally) -> list[str]:
    """Compare all that a frame shows; return its faults."""
    faults = []
    ratio = frame.page.aspect_ratio / truth["aspect_ratio"]
    is_close = abs(ratio - 1) <= RATIO_ERROR
    tally.count("aspect ratio within 8 %", is_close)
    if not is_close:
        faults.append(f"aspect ratio {frame.page.aspect_ratio:.3f} for {truth['aspect_ratio']:.3f}")
    technique, angle, light = (
        guess.value if guess else None
        for guess in (frame.technique, frame.camera_elevation_deg, frame.light_clock)
    )
    names = "technique right where drawn", "no technique invented"
    faults += check_value(
        truth["technique"], technique, names, technique == truth["technique"], tally
    )
    faults += check_subject(truth, frame, tally)
    faults += check_supporting(truth, frame, tally)
    asked = truth["camera_elevation_deg"]
    good = asked is not None and angle is not None and is_right_angle(asked, angle)
    names = "camera angle where drawn", "no camera angle invented"
    faults += check_value(asked, angle, names, good, tally)
    asked = truth["light_clock"]
    good = None not in (asked, light) and abs(clock_difference_hours(asked, light)) <= LIGHT_HOURS
    names = "light within 0.75 h where drawn", "no light invented"
    faults += check_value(asked, light, names, good, tally)
    if truth["empty"]:
        side = frame.empty_side.value if frame.empty_side else None
        tally.count("side kept empty, where hatched", side == truth["empty"]["side"])
    return faults


def count_not_found(truth: dict[str, Any], tally: Tally) -> None:
    """Everything in a frame that was not found is wrong; nothing was invented there."""
    lost = ["aspect ratio within 8 %", "subject within 0.05", "subject's size within 0.03"]
    lost += ["supporting elements found (recall)"] * sum(not s["cut"] for s in truth["supporting"])
    drawn = {
        "technique": "technique right where drawn",
        "camera_elevation_deg": "camera angle where drawn",
        "light_clock": "light within 0.75 h where drawn",
        "empty": "side kept empty, where hatched",
    }
    lost += [name for key, name in drawn.items() if truth[key] is not None]
    for name in lost:
        tally.count(name, False, in_found_frame=False)


def check_page(picture: Path, truths: list[dict[str, Any]], tally: Tally) -> list[str]:
    """Read a page and compare it; return its faults."""
    try:
        frames = read_page(picture)
    except AuditorError as error:
        frames, refusal = (), f"refused: {error}"
    else:
        refusal = ""
    if not truths:
        tally.count("pages without frames refused", not frames)
        return [f"{len(frames)} frames read where none is drawn"] if frames else []
    faults = [refusal] if refusal else []
    pairs = matched(truths, frames)
    good = [away <= CORNER_SHARE for _, _, away in pairs]
    tally.count("pages with all frames found", all(good) and len(frames) == len(truths))
    if len(frames) != len(truths):
        faults.append(f"{len(frames)} frames read, {len(truths)} drawn")
    for k, (truth, frame, away) in enumerate(pairs, 1):
        tally.count("frames found", good[k - 1])
        if not good[k - 1]:
            faults.append(f"frame {k}: corners are {away:.3f} of the long side away")
        if frame is None:
            count_not_found(truth, tally)
        else:
            faults += [f"frame {k}: {fault}" for fault in check_frame(truth, frame, tally)]
    return faults


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def say_table(tally: Tally) -> None:
    say("| what | right | of | share | where the frame was found | goal |")
    say("| --- | --- | --- | --- | --- | --- |")
    for what, goal in GOALS.items():
        right, total, found = tally.right[what], tally.total[what], tally.found[what]
        if total:
            inside = f"{right / found:.3f}" if found else "-"
            say(f"| {what} | {right} | {total} | {right / total:.3f} | {inside} | {goal} |")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--list", action="store_true", help="print each page's faults")
    parser.add_argument("--only", nargs="*", default=[], help="names of pages")
    given = parser.parse_args()
    tally, seconds, processor = Tally(), [], 0.0
    for path in sorted(given.folder.glob("*.json")):
        if given.only and path.stem not in given.only:
            continue
        truth = json.loads(path.read_text())
        start, start_of_processor = time.perf_counter(), time.process_time()
        faults = check_page(path.parent / truth["file"], truth["frames"], tally)
        seconds.append(time.perf_counter() - start)
        processor += time.process_time() - start_of_processor
        if given.list:
            kind = f"{truth['kind']}, {truth['paper']} paper, {truth['pen']}"
            say(f"{path.stem} ({kind}; {seconds[-1]:.1f} s)")
            for fault in faults:
                say(f"    {fault}")
    if not seconds:
        sys.exit(f"{given.folder}: there is no page with its truth (NAME.json) in this folder.")
    say_table(tally)
    n_pages = len(seconds)
    say(
        f"seconds a page: {sum(seconds) / n_pages:.2f} (slowest {max(seconds):.2f}; goal below 5), "
        f"of the processor {processor / n_pages:.2f}; {n_pages} pages"
    )


if __name__ == "__main__":
    main()

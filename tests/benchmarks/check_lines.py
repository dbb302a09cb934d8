"""Diagonals and leading lines against drawn truth and marks by eye; run by hand.

``python tests/benchmarks/check_lines.py arrangements`` draws things in line with strays and things
at random. ``long CUTOUTS`` lays long foods (and drawn boards) on a surface and prints how many have
a diagonal and its error; the cut-outs of even index are for choosing, ``--check`` takes the others.
``leading`` draws lines of low contrast that point at a dish, and lines at random.
``photographs FOLDER MARKS.json [--list]`` compares with marks by eye
(``fixtures/judged_lines_for_choosing.json`` and ``…_for_checking.json``): ``{file: {"diagonal":
word, "also_acceptable": [words], "sure", "leading": [{"what", "far_end", "sure"}]}}``.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.comparison.item import Verdict
from auditor.comparison.verdicts import verdict_of_absence
from auditor.geometry import Point, angle_difference_deg, describe_mask, distance_fraction
from auditor.line_segments import find_line_segments
from auditor.mask_axis import MaskAxis, axis_of, large_parts
from auditor.measurements.diagonal import measure_diagonal
from auditor.measurements.elements import measure_elements
from auditor.measurements.leading_lines import measure_leading_lines
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.decode import read_photograph
from auditor.vocabulary.diagonals import slope_word
from tests.benchmarks import check_lines_drawn as drawn
from tests.benchmarks.check_subject_kinds import find
from tests.benchmarks.geometry_of import geometry_of

N_ARRANGED, N_RANDOM = 250, 500
RIGHT_DEG = 5.0  # error of an angle that counts as found
N_BOARDS = 40
CONTRASTS = (12, 20, 40, 80)  # of 255
WIDTHS_PX = (2, 4, 8, 16)  # in a frame of 900 by 600
N_DRAWN = 24
FAR_END_FRACTION = 0.15  # of the diagonal, between a marked far end and the one found


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def check_arrangements(seed: int) -> None:
    """Print how many arrangements are found, and how many things at random have a line."""
    random = np.random.default_rng(seed)
    for even in (True, False):
        for smaller in (True, False):
            for n_strays in range(3):
                right = [
                    _is_right(
                        drawn.arrangement(random, 3 + k % 4, n_strays, even=even, smaller=smaller)
                    )
                    for k in range(N_ARRANGED)
                ]
                say(f"even {even}, smaller {smaller}, {n_strays} strays: {np.mean(right):.3f}")
    for alike in (True, False):
        for n_things in range(2, 9):
            told = [
                _diagonal_of(drawn.scattered(random, n_things, alike=alike)) is not None
                for _ in range(N_RANDOM)
            ]
            say(f"random, alike {alike}, {n_things} things: {np.mean(told):.3f}")


def _diagonal_of(one: drawn.Arrangement) -> float | None:
    width, height = one.frame
    blank = np.full((height, width, 3), 128, np.uint8)
    value = measure_diagonal(blank, one.subject, one.elements, (), segments=NO_SEGMENTS).value
    return None if value is None else value.angle_deg


NO_SEGMENTS = find_line_segments(np.full((40, 40, 3), 128, np.uint8))


def _is_right(one: drawn.Arrangement) -> bool:
    angle_deg = _diagonal_of(one)
    true = one.angle_deg
    return angle_deg is not None and true is not None and _error(angle_deg, true) <= RIGHT_DEG


def _error(angle_deg: float, true_deg: float) -> float:
    return angle_difference_deg(angle_deg, true_deg)


def check_long(folder: Path, *, is_check: bool) -> None:
    """Print the errors of the diagonals of long things."""
    random = np.random.default_rng(2 if is_check else 1)
    cutouts = list(drawn.long_cutouts(folder))[int(is_check) :: 2]
    groups = {
        "long cut-outs": [(name, *drawn.lay(random, *cut)) for name, *cut in cutouts],
        "boards": [(f"board {k}", *drawn.board(random)) for k in range(N_BOARDS)],
    }
    for group, pictures in groups.items():
        errors, confidences, axis_errors = [], [], []
        for name, picture, true_deg in pictures:
            pixels = np.asarray(picture)
            maps, subject = find(picture)
            elements = measure_elements(maps, subject.mask, pixels)
            regions = [e.value for e in elements.regions if e.value is not None]
            masks = large_parts(subject.mask)
            masks += [elements.labels == n + 1 for n in range(len(regions))]
            axes = [axis_of(mask) for mask in masks]
            found = measure_diagonal(pixels, subject.region.value, regions, (), axes=axes)
            if axes and subject.region.value is not None:
                axis_errors.append(_error(axes[0].angle_deg, true_deg))
            if found.value is not None:
                errors.append(_error(found.value.angle_deg, true_deg))
                confidences.append(found.confidence)
                if errors[-1] > RIGHT_DEG:
                    say(f"  {name}: {true_deg:.0f}, found {found.value}")
            else:
                say(f"  {name}: {true_deg:.0f}, none found; axes {[_plain(a) for a in axes]}")
        right = np.array(errors) <= RIGHT_DEG
        say(
            f"{group}: {len(pictures)}, found {len(errors)}, median error {np.median(errors):.2f}, "
            f"within {RIGHT_DEG:g} degrees {right.sum() / len(pictures):.2f} of all and "
            f"{right.mean():.2f} of those found, confidence {np.mean(confidences):.2f}; "
            f"root mean square of the axis errors below 10: "
            f"{math.sqrt(np.mean([e**2 for e in axis_errors if e < 10])):.2f}"
        )


def _plain(axis: MaskAxis) -> tuple[float, float, float]:
    return round(axis.angle_deg), round(axis.length_fraction, 2), round(axis.elongation, 2)


def check_leading(seed: int) -> None:
    """Print how many lines of low contrast are found, and how many at random are taken for some."""
    random = np.random.default_rng(seed)
    for contrast in CONTRASTS:
        counts = [_n_told(random, contrast, width, at_random=False) for width in WIDTHS_PX]
        say(f"contrast {contrast}: " + ", ".join(
            f"{width} px {n} of {N_DRAWN}" for width, n in zip(WIDTHS_PX, counts, strict=True)
        ))  # fmt: skip
    for n_bars in (1, 2, 4):
        n = _n_told(random, 40, 6, at_random=True, n_bars=n_bars)
        say(f"{n_bars} bars at random: told on {n} of {N_DRAWN}")


def _n_told(
    random: np.random.Generator, contrast: float, width: float, *, at_random: bool, n_bars: int = 1
) -> int:
    n_told = 0
    for _ in range(N_DRAWN):
        pixels, dish, rim = drawn.dish_with_bars(
            random, contrast, width, n_bars, at_random=at_random
        )
        segments = find_line_segments(pixels)
        told = measure_leading_lines(segments, describe_mask(dish), [], [rim], subject_mask=dish)
        n_told += told.value is not None
    return n_told


def check_photographs(folder: Path, marks: Mapping[str, Any], *, is_listed: bool) -> None:
    """Print how the measurements agree with marks by eye."""
    counts: Counter[str] = Counter()
    for file, mark in marks.items():
        measured = geometry_of(read_photograph(folder, file)).measured
        seen = [*_diagonal_kinds(measured, mark), _leading_kind(measured, mark)]
        counts.update(seen)
        if is_listed:
            say(f"{file}: {'; '.join(seen)}")
    for kind, n in sorted(counts.items()):
        say(f"{kind}: {n}")


def _diagonal_kinds(measured: MeasuredPhotograph, mark: Mapping[str, Any]) -> list[str]:
    """How the diagonal agrees with the eye, and the verdicts on plans for either direction."""
    accepted = {mark["diagonal"], *mark["also_acceptable"]}
    by_eye = mark["diagonal"] if mark["sure"] else "/".join(sorted(accepted))
    found = measured.diagonal.value
    if found is not None:
        word = slope_word(found.angle_deg)
        return [f"diagonal told {'right' if word in accepted else f'wrong, {by_eye} by eye'}"]
    kinds = [f"diagonal none, {'right' if 'none' in accepted else 'missed'}"]
    for word in ("rising", "falling"):
        verdict = verdict_of_absence(getattr(measured.unseen_diagonals, word))
        plan = "seen" if mark["diagonal"] == word else "may be seen" if word in accepted else "not"
        is_undecided = verdict is Verdict.UNDECIDED
        kinds.append(f"planned, {plan}: {'undecided' if is_undecided else 'missed'}")
    return kinds


def _leading_kind(measured: MeasuredPhotograph, mark: Mapping[str, Any]) -> str:
    """How the leading lines agree with the eye, by the far ends."""
    found = measured.leading_lines.value
    marked = "marked" if any(one["sure"] for one in mark["leading"]) else "not marked"
    if found is None:
        return f"leading none, {marked}"
    size = measured.width, measured.height
    is_near = any(
        distance_fraction(path[0], Point(*one["far_end"]), *size) <= FAR_END_FRACTION
        for path in found.paths
        for one in mark["leading"]
    )
    return f"leading told {'right' if is_near else 'wrong'}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=["arrangements", "long", "leading", "photographs"])
    parser.add_argument("paths", type=Path, nargs="*")
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--list", action="store_true")
    given = parser.parse_args()
    if given.what == "arrangements":
        check_arrangements(2 if given.check else 1)
    elif given.what == "long":
        check_long(given.paths[0], is_check=given.check)
    elif given.what == "leading":
        check_leading(2 if given.check else 1)
    else:
        marks = json.loads(given.paths[1].read_text())
        check_photographs(given.paths[0], marks, is_listed=given.list)


if __name__ == "__main__":
    main()

"""Verdicts on planned supporting elements against verdicts by eye; run by hand.

``python tests/benchmarks/check_planned_elements.py PHOTOGRAPHS MARKS.json [--list]`` reads things
that might be planned for photographs, and whether they are there, noted by eye before any
measurement was known: ``{file: [{"name", "at", "verdict": "met"|"missed"|"borderline", "box":
[left, top, right, bottom] or null}]}``. `fixtures/planned_elements_for_choosing.json` may be used
to choose, `…_for_checking.json` for figures only.

All things of a picture stand in one plan. It prints how many verdicts are right, near, wrong and
undecided, as `check_verdicts.py` does, for all and for each kind of thing; and of those found that
are there, how many were taken from around the marked box: the boxes overlap by `SAME_OVERLAP`, or
one contains most of the other. With ``--without`` the things are ruled out instead: what is there
should be missed, and what is not there met.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor import measure, read_plan
from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.vocabulary.kinds import kind_of

KINDS = ("right", "near", "wrong", "undecided")
SAME_OVERLAP = 0.3  # intersection over union: more than by chance, less than of two careful boxes
OPPOSITE = {"met": "missed", "missed": "met", "borderline": "borderline"}
CONTAINED = 0.7  # share of the smaller box inside the other: the handle of a spoon


def as_toml(things: Sequence[dict[str, Any]], key: str) -> str:
    """A plan file of one shot with these things under a key."""
    lines = ["[[shot]]", 'name = "shot"', 'files = ["*"]']
    tables = (f'{{ name = "{thing["name"]}", at = "{thing["at"]}" }}' for thing in things)
    return "\n".join([*lines, f"{key} = [ {', '.join(tables)} ]"]) + "\n"


def compared(
    things: Sequence[dict[str, Any]], picture: MeasuredPhotograph, key: str
) -> tuple[ComparedItem, ...]:
    """The compared items, one for each thing."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.toml"
        path.write_text(as_toml(things, key))
        plan = read_plan(path)
    return compare(plan.shots[0], picture, plan.tolerances)


def kind_of_verdict(by_eye: str, verdict: Verdict) -> str:
    """Whether a verdict agrees with the eye's."""
    if verdict is Verdict.UNDECIDED:
        return "undecided"
    if by_eye in {"borderline", verdict.value}:
        return "right"
    return "near" if verdict is Verdict.CLOSE else "wrong"


def is_same_box(found: Box, marked: Box) -> bool:
    """Whether two boxes are of one thing."""
    common = Box(
        max(found.left, marked.left),
        max(found.top, marked.top),
        min(found.right, marked.right),
        min(found.bottom, marked.bottom),
    ).area_fraction
    smaller = min(found.area_fraction, marked.area_fraction)
    union = found.area_fraction + marked.area_fraction - common
    return common >= SAME_OVERLAP * union or common >= CONTAINED * smaller


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("marks", type=Path)
    parser.add_argument("--list", action="store_true", help="print what is not right")
    parser.add_argument("--without", action="store_true", help="rule the things out")
    given = parser.parse_args()
    key = "without" if given.without else "supporting"
    counts: Counter[tuple[str, str]] = Counter()
    boxes: Counter[bool] = Counter()
    for file, things in json.loads(given.marks.read_text()).items():
        picture = measure(given.photographs / file)
        for thing, item in zip(things, compared(things, picture, key), strict=True):
            by_eye = OPPOSITE[thing["verdict"]] if given.without else thing["verdict"]
            kind = kind_of_verdict(by_eye, item.verdict)
            counts["all", kind] += 1
            counts[kind_of(thing["name"]).value, kind] += 1
            if thing["box"] and item.match and item.verdict in {Verdict.MET, Verdict.CLOSE}:
                boxes[is_same_box(item.match.bbox, Box(*thing["box"]))] += 1
            if given.list and kind != "right":
                seen = item.match.seen_as if item.match else "-"
                say(
                    f"{kind:10} {file:40} {thing['name']:20} {thing['at']:18} "
                    f"eye {thing['verdict']:10} {item.verdict.value:10} {item.doubt:8} {seen}"
                )
    say("| kind | items | " + " | ".join(KINDS) + " |")
    for name in [*sorted({name for name, _ in counts if name != "all"}), "all"]:
        total = sum(counts[name, kind] for kind in KINDS)
        shares = [f"{100 * counts[name, kind] / total:.0f} %" for kind in KINDS]
        say(f"| {name} | {total} | " + " | ".join(shares) + " |")
    say(f"taken from around the marked box: {boxes[True]} of {boxes.total()}")


if __name__ == "__main__":
    main()

"""Verdicts on photographs against verdicts by eye; run by hand after changes to comparison/.

``python tests/benchmarks/check_verdicts.py PHOTOGRAPHS JUDGED.json [--list]`` reads plans in words
and the verdicts on them that someone gave by eye before any measurement was known: a list of
``{"file", "plan": {quantity: words}, "verdicts": {quantity: "met"|"missed"|"borderline"|"cannot
tell"}}``. It prints, for each quantity and over all, how many verdicts are

* right: the same as by eye, or "close" or either verdict where the eye said "borderline";
* near: "close" where the eye said "met" or "missed";
* wrong: "met" where the eye said "missed", or the reverse;
* undecided.

Items that the eye could not tell are left out.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor import measure, read_plan
from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.measurements.measured_photograph import MeasuredPhotograph

KINDS = ("right", "near", "wrong", "undecided")
# Keys of the judged plans, and what the compared items are called.
NAMES = {"camera": "camera_elevation"}


def as_toml(plan: Mapping[str, Any]) -> str:
    """A plan file of one shot from words."""
    lines = ["[[shot]]", 'name = "shot"', 'files = ["*"]']
    lines += [f'{key} = "{plan[key]}"' for key in ("technique", "diagonal") if key in plan]
    if "camera" in plan:
        lines.append(f'camera_elevation = "{plan["camera"]}"')
    if "subject" in plan:
        lines.append(f'subject = {{ at = "{plan["subject"]}" }}')
    if "light" in plan:
        lines.append(f'light = {{ from = "{plan["light"]}" }}')
    if "supporting" in plan:
        thing = plan["supporting"]
        lines.append(f'supporting = [ {{ name = "{thing["name"]}", at = "{thing["at"]}" }} ]')
    empty = []
    if "negative_space" in plan:
        empty.append(f"fraction = {plan['negative_space']}")
    if "negative_space_side" in plan:
        empty.append(f'side = "{plan["negative_space_side"]}"')
    if empty:
        lines.append(f"negative_space = {{ {', '.join(empty)} }}")
    return "\n".join(lines) + "\n"


def compared(one: Mapping[str, Any], picture: MeasuredPhotograph) -> dict[str, ComparedItem]:
    """The compared items of one judged picture, by quantity."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.toml"
        path.write_text(as_toml(one["plan"]))
        plan = read_plan(path)
    items = compare(plan.shots[0], picture, plan.tolerances)
    return {item.quantity: item for item in items}


def kind_of(by_eye: str, verdict: Verdict) -> str:
    """Whether a verdict agrees with the eye's."""
    if verdict is Verdict.UNDECIDED:
        return "undecided"
    if by_eye == "borderline" or by_eye == verdict.value:
        return "right"
    return "near" if verdict is Verdict.CLOSE else "wrong"


def judged_items(
    judged: list[dict[str, Any]], pictures: Mapping[str, MeasuredPhotograph]
) -> Iterator[tuple[str, str, str, ComparedItem]]:
    """File, quantity, the eye's verdict and the compared item."""
    for one in judged:
        items = compared(one, pictures[one["file"]])
        for key, by_eye in one["verdicts"].items():
            if by_eye != "cannot tell":
                quantity = NAMES.get(key, key)
                yield one["file"], quantity, by_eye, items[quantity]


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("judged", type=Path, nargs="+")
    parser.add_argument("--list", action="store_true", help="print what is not right")
    given = parser.parse_args()
    judged = [one for path in given.judged for one in json.loads(path.read_text())]
    files = sorted({one["file"] for one in judged})
    with ProcessPoolExecutor(os.cpu_count()) as workers:
        found = workers.map(measure, [given.photographs / file for file in files])
        pictures = dict(zip(files, found, strict=True))
    counts: Counter[tuple[str, str]] = Counter()
    for file, quantity, by_eye, item in judged_items(judged, pictures):
        kind = kind_of(by_eye, item.verdict)
        counts[quantity, kind] += 1
        counts["all", kind] += 1
        if given.list and kind != "right":
            say(f"{kind:10} {file:40} {quantity:20} eye {by_eye:10} {item.verdict.value:10} "
                  f"planned {item.planned} measured {item.measured}")  # fmt: skip
    say("| quantity | items | " + " | ".join(KINDS) + " |")
    for quantity in [*sorted({q for q, _ in counts if q != "all"}), "all"]:
        total = sum(counts[quantity, kind] for kind in KINDS)
        shares = [f"{100 * counts[quantity, kind] / total:.0f} %" for kind in KINDS]
        say(f"| {quantity} | {total} | " + " | ".join(shares) + " |")


if __name__ == "__main__":
    main()

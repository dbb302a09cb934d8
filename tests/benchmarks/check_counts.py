"""Verdicts on planned numbers of things against things marked by hand; run by hand.

``python tests/benchmarks/check_counts.py PHOTOGRAPHS fixtures/marked_things.json`` plans two, three
and four spoons, napkins, glasses and bowls for each photograph, exactly and at least, and compares
the verdicts with how many things of that kind are marked: a fork counts as a spoon, since shapes
are all that is seen. Things that nobody marked make a right verdict wrong here.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor import measure
from auditor.comparison.item import Verdict
from auditor.comparison.things import compare_things
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, PlannedThing
from auditor.vocabulary.how_many import MOST_COUNTED, from_to
from auditor.vocabulary.kinds import Kind, kind_of

NAMES = {Kind.LONG: "spoons", Kind.FLAT: "napkins", Kind.TALL: "glasses", Kind.ROUND: "bowls"}
NUMBERS = (2, 3, 4)


def off_by(beyond: float) -> str:
    """How far the marked number is from the planned one."""
    if beyond == 0:
        return "as planned"
    return "too many" if beyond > 0 else "one too few" if beyond == -1 else "more too few"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("marks", type=Path)
    given = parser.parse_args()
    counts: Counter[tuple[str, Verdict]] = Counter()
    for file, marked in json.loads(given.marks.read_text()).items():
        picture = measure(given.photographs / file)
        there = Counter(kind_of(thing["name"].split(",")[0]) for thing in marked["things"])
        for kind, name in NAMES.items():
            for number in NUMBERS:
                for most in (number, MOST_COUNTED):
                    accepted = from_to(number, most)
                    thing = PlannedThing(name, count=accepted)
                    (item,) = compare_things(
                        Intent(supporting=(thing,)), picture, DEFAULT_TOLERANCES
                    )
                    counts[off_by(accepted.beyond(float(there[kind]))), item.verdict] += 1
    for row in dict.fromkeys(row for row, _ in counts):
        shown = ", ".join(f"{counts[row, verdict]} {verdict}" for verdict in Verdict)
        sys.stdout.write(f"{row}: {shown}\n")


if __name__ == "__main__":
    main()

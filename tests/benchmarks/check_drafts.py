"""Drafts of plans against their own photographs; run by hand after changes to plan_draft/.

``python tests/benchmarks/check_drafts.py PHOTOGRAPHS [development]`` drafts a plan from each
photograph, and from sets of them, and compares them with it. It prints how many items were met,
undecided, close and missed, alone and as sets, and how much a draft states. ``development`` takes
every second photograph by name, beginning with the first; without it the others are checked, at
which nobody looked when the limits were chosen.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))


from auditor.comparison.compare import compare
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan_draft.draft import PlanDraft
from auditor.plan_draft.from_pictures import see_as_set, shots_of_pictures
from auditor.plan_draft.proof import plan_of
from auditor.plan_draft.series_part import share_entries
from auditor.runs.measuring import measure_all
from auditor.runs.progress import showing_progress
from auditor.runs.run import starting_run
from auditor.runs.store import default_location
from auditor.runs.workers import default_jobs

N_SETS, SIZES, SEED = 40, (2, 3, 5, 8, 12, 20), 1


def main() -> None:
    """Read the arguments and print the figures."""
    folder, *more = sys.argv[1:]
    measured = measure(Path(folder), first=0 if more == ["development"] else 1)
    rng = np.random.default_rng(SEED)
    sets = [
        [measured[one] for one in rng.choice(len(measured), rng.choice(SIZES), replace=False)]
        for _ in range(N_SETS)
    ]
    report("alone", [[one] for one in measured])
    report("in sets", sets)
    report("all as one set", [measured])


def measure(folder: Path, first: int) -> list[MeasuredPhotograph]:
    """Every second photograph that can be measured."""
    files = sorted(path.name for path in folder.iterdir())[first::2]
    with (
        showing_progress() as progress,
        starting_run(jobs=default_jobs(), store=default_location()) as run,
    ):
        outcomes = measure_all(folder, files, None, run, progress)
    pictures = [outcome.picture for outcome in outcomes]
    return [one for one in pictures if isinstance(one, MeasuredPhotograph)]


def report(name: str, sets: list[list[MeasuredPhotograph]]) -> None:
    """Draft each set and compare its pictures with the draft."""
    verdicts: Counter[str] = Counter()
    quantities: Counter[str] = Counter()
    for measured in sets:
        seen = see_as_set(measured)
        shots = shots_of_pictures(seen, [Path(one.file) for one in measured])
        shared = share_entries(shots, seen)
        plan = plan_of(PlanDraft((), "", shared.series, shared.shots))
        for shot, picture in zip(plan.shots, seen, strict=True):
            for item in compare(shot, picture.measured, plan.tolerances, picture.mired):
                verdicts[item.verdict.value] += 1
                quantities[item.quantity] += 1
    n_pictures = sum(len(measured) for measured in sets)
    counts = ", ".join(f"{n} {verdict}" for verdict, n in verdicts.most_common())
    each = ", ".join(f"{key} {n / n_pictures:.2f}" for key, n in quantities.most_common())
    sys.stdout.write(
        f"{name}: {n_pictures} pictures, {counts}\n"
        f"  {sum(quantities.values()) / n_pictures:.1f} items a picture: {each}\n"
    )


if __name__ == "__main__":
    main()

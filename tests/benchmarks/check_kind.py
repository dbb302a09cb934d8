"""How often pictures are rightly told as one set or a portfolio; run by hand after changes.

``python tests/benchmarks/check_kind.py MAKERS SETUP [development]`` takes two folders: photographs
by many makers, and photographs of one setup. Of the first every second one, of the second every
second kind of thing (the letters at the start of the name) is for checking, the others for
development. Draws sets of 3, 6, 12 and 30 pictures and prints how many of each are told wrongly.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))


from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.folder import pictures_in
from auditor.runs.measuring import measure_all
from auditor.runs.run import starting_run
from auditor.runs.store import default_location
from auditor.runs.workers import default_jobs
from auditor.series import kind
from auditor.series.colour.compared_pairs import compare_pictures

MOST_PICTURES = 32  # of each pool: all pairs of as many are compared
DRAWS = 400


def measured_of(folder: Path) -> list[MeasuredPhotograph]:
    """The measured pictures of a folder."""
    files = pictures_in(folder, leave_out=None).files
    with starting_run(jobs=default_jobs(), store=default_location()) as run:
        outcomes = measure_all(folder, files, None, run, lambda *_: None)
    return [o.picture for o in outcomes if isinstance(o.picture, MeasuredPhotograph)]


def together(pool: Sequence[MeasuredPhotograph]) -> NDArray[np.float64]:
    """Probability (N, N) that two pictures are of one shoot."""
    pairs = compare_pictures([picture.colours for picture in pool])
    found = np.full((len(pool), len(pool)), np.nan)
    places = combinations(range(len(pool)), 2)
    for (i, j), similarity in zip(places, pairs.similarity.tolist(), strict=True):
        is_surface = kind.is_same_surface(pool[i], pool[j])
        odds = kind.log_odds(pool[i], pool[j], similarity, is_surface=is_surface)
        found[i, j] = found[j, i] = 1 / (1 + np.exp(-odds))
    return found


def report(name: str, pool: Sequence[MeasuredPhotograph], *, is_set: bool) -> None:
    """Print how many draws of each size are told wrongly."""
    rng = np.random.default_rng(3)
    chosen = rng.choice(len(pool), min(MOST_PICTURES, len(pool)), replace=False)
    table = together([pool[place] for place in chosen])
    for n in (3, 6, 12, 30):
        if len(table) < n:
            continue
        least = max(limit for number, limit in kind.LEAST_TOGETHER if n >= number)
        means = []
        for _ in range(DRAWS):
            some = rng.choice(len(table), min(n, kind.MOST_PICTURES), replace=False)
            means.append(np.nanmean(table[np.ix_(some, some)]))
        wrong = np.mean((np.array(means) < least) == is_set)
        line = f"{name:28} {n:3} pictures: {wrong:6.1%} wrong, mean {np.mean(means):.2f}"
        sys.stdout.write(f"{line}\n")


def main() -> None:
    """Measure, draw, print."""
    start = 0 if "development" in sys.argv else 1
    makers, setup = (measured_of(Path(folder)) for folder in sys.argv[1:3])
    report("a portfolio", makers[start::2], is_set=False)
    things: dict[str, list[MeasuredPhotograph]] = {}
    for picture in setup:
        name = re.match(r"[A-Za-z_]*", Path(picture.file).name)
        things.setdefault(name[0] if name else "", []).append(picture)
    names = sorted(things)[start::2]
    report("a set of many things", [p for n in names for p in things[n]], is_set=True)
    for name in names:
        report(f"a set of {name}", things[name], is_set=True)


if __name__ == "__main__":
    main()

"""Compare elements and negative space with rendered tables; run by hand.

``python tests/benchmarks/check_elements.py TABLES`` prints the results of the package as it is.
With ``--confidences`` it fits both confidence models on TABLES; with ``--fit`` it first searches
the constants of `auditor.measurements.elements`. It prints the constants for pasting, and their
results in six-fold cross-validation by picture.

TABLES has NAME.jpg, masks/NAME.png (0 background, 1 subject, 2 and up the elements) and truth.json,
as written by `fixtures.rendering`. Several folders may be given.

Found and true elements are matched one to one if their boxes overlap by at least half
(intersection over union; the assignment with the largest total overlap). Found elements without a
true one lower the precision, true ones without a found one the recall. True elements that are
hardly visible, and elements matched to them, are not counted: those that cover less than
`MIN_AREA_FRACTION` of the frame, and those cut by the frame to a sliver (less than
`SLIVER_FRACTION` of the diagonal, perpendicular to the frame's edge).

An element is right if it is matched and its centroid lies within its tolerance, a negative space if
its fraction does. The expected calibration error is the mean difference between confidence and
share of right ones over bins of equal size, about `BIN_SIZE` each.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import sys
from dataclasses import dataclass
from functools import partial
from multiprocessing.pool import Pool
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
from PIL import Image
from scipy.optimize import linear_sum_assignment, minimize

from auditor.measurements import negative_space
from auditor.measurements.elements import grouping, splitting
from auditor.measurements.elements import measure as elements
from auditor.measurements.negative_space.measure import TOLERANCE as SPACE_TOLERANCE
from auditor.measurements.subject import measure_subject
from auditor.saliency.finder import SubjectMaps
from auditor.saliency.network import trained_finder

MATCH_OVERLAP = 0.5
SLIVER_FRACTION = 0.02
BIN_SIZE = 22
N_FOLDS = 6
RIDGE = 0.03
GRID = {
    "THING_PROBABILITY": (0.4, 0.5, 0.6, 0.7, 0.8, 0.9),
    "CORE_FLOOR": (0.03, 0.1, 0.3, 1.0),
    "NECK_RATIO": (0.5, 0.65, 0.8),
    "ALIKE_DELTA_E": (0.0, 4.0, 6.0, 9.0),
}
LEAST_CONFIDENCES = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5)


@dataclass(frozen=True, slots=True)
class Table:
    """A rendered table with the finder's maps."""

    pixels: Any
    maps: SubjectMaps
    subject_mask: Any
    truth: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Outcome:
    """The results on one table, for each element and for negative space."""

    cues: list[tuple[float, ...]]
    confidences: list[float]
    matched: list[bool]  # to a true one that counts
    right: list[bool]
    n_true: int
    n_found_true: int
    emptiness_error: float
    emptiness_cues: tuple[float, ...]
    emptiness_confidence: float


def load(folders: list[Path], most: int) -> list[Table]:
    """Read tables and run the finder and the measurement of the subject."""
    tables: list[Table] = []
    for folder in folders:
        truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
        for name, facts in list(truth.items())[:most]:
            pixels = np.asarray(Image.open(folder / name).convert("RGB"))
            maps = trained_finder().find(pixels).in_frame(pixels.shape[1], pixels.shape[0])
            mask = measure_subject(maps.subject, maps.elements).mask
            tables.append(Table(pixels, maps, mask, facts))
    return tables


def overlap(a: Any, b: Any) -> float:
    """Intersection over union of two boxes."""
    width, height = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    common = max(width, 0.0) * max(height, 0.0)
    both = sum((c[2] - c[0]) * (c[3] - c[1]) for c in (a, b)) - common
    return common / both if both else 0.0


def counts(element: dict[str, Any], width: int, height: int) -> bool:
    """True if enough of a true element is visible."""
    left, top, right, bottom = element["bbox"]
    across = (right - left) * width if left <= 0 or right >= 1 else np.inf
    down = (bottom - top) * height if top <= 0 or bottom >= 1 else np.inf
    sliver = min(across, down) < SLIVER_FRACTION * np.hypot(width, height)
    return element["area_fraction"] >= elements.MIN_AREA_FRACTION and not sliver


def assess(table: Table, *, emptiness: bool = True) -> Outcome:
    """Measure one table and compare it with its truth."""
    height, width = table.maps.elements.shape
    found = elements.measure_elements(table.maps, table.subject_mask, table.pixels)
    true = table.truth["elements"]
    overlaps = np.array(
        [[overlap(q.value.bbox, t["bbox"]) for t in true] for q in found.regions]
    ).reshape(len(found.regions), len(true))
    overlaps[overlaps < MATCH_OVERLAP] = 0
    pairs = {
        i: j
        for i, j in zip(*linear_sum_assignment(-overlaps), strict=True)
        if overlaps[i, j] >= MATCH_OVERLAP
    }
    that_count = [counts(t, width, height) for t in true]
    cues, confidences, matched, right = [], [], [], []
    for i, quantity in enumerate(found.regions):
        j = pairs.get(i)
        if j is not None and not that_count[j]:
            continue
        cues.append(elements.element_cues(table.maps, found.labels == i + 1))
        confidences.append(quantity.confidence)
        matched.append(j is not None)
        right.append(j is not None and _near(quantity.value.centroid, true[j], width, height))
    occupied = table.subject_mask | (found.labels > 0)
    fraction, sure = 1 - occupied.mean(), 0.0
    if emptiness:
        space = negative_space.measure_negative_space(table.pixels, occupied, table.maps.elements)
        fraction, sure = space.value.fraction, space.confidence
    error = float(fraction - table.truth["negative_space"]["fraction"])
    n_true = sum(that_count)
    doubt = negative_space.confidence_cues(occupied, table.maps.elements)
    return Outcome(cues, confidences, matched, right, n_true, sum(matched), error, doubt, sure)


def _near(centroid: Any, true: dict[str, Any], width: int, height: int) -> bool:
    x, y = true["centroid"]
    away = np.hypot((centroid.x - x) * width, (centroid.y - y) * height)
    return bool(away <= elements.TOLERANCE * np.hypot(width, height))


def f_measure(outcomes: list[Outcome]) -> tuple[float, float, float]:
    """Precision, recall and their harmonic mean, over all tables together."""
    hits = sum(o.n_found_true for o in outcomes)
    found = sum(len(o.matched) for o in outcomes)
    true = sum(o.n_true for o in outcomes)
    return hits / max(found, 1), hits / max(true, 1), 2 * hits / max(found + true, 1)


def calibration(confidences: Any, right: Any) -> str:
    """Expected calibration error as text."""
    stated, correct = np.asarray(confidences, float), np.asarray(right, float)
    n_bins = max(1, len(stated) // BIN_SIZE)
    bins = np.array_split(np.argsort(stated, kind="stable"), n_bins)
    error = sum(len(b) * abs(stated[b].mean() - correct[b].mean()) for b in bins) / len(stated)
    return f"ECE {error:.3f} ({n_bins} bins, n {len(stated)}, right {correct.mean():.3f})"


def report(outcomes: list[Outcome]) -> None:
    """Print the results."""
    precision, recall, f = f_measure(outcomes)
    sure, right = (
        [v for o in outcomes for v in o.confidences],
        [v for o in outcomes for v in o.right],
    )
    errors = np.array([o.emptiness_error for o in outcomes])
    sizes = np.abs(errors)
    within = sizes <= SPACE_TOLERANCE
    say(f"tables {len(outcomes)}, true elements that count {sum(o.n_true for o in outcomes)}")
    say(f"elements: precision {precision:.3f}, recall {recall:.3f}, F {f:.3f}")
    say(f"  confidence: {calibration(sure, right)}")
    say(
        f"negative space: error median {np.median(sizes):.4f}, mean {sizes.mean():.4f}, "
        f"bias {errors.mean():+.4f}, within {SPACE_TOLERANCE}: {within.mean():.3f}"
    )
    say(f"  confidence: {calibration([o.emptiness_confidence for o in outcomes], within)}")


class Search:
    """Coordinate descent over `GRID`; every setting is measured once on every table."""

    def __init__(self, n_tables: int, pool: Pool) -> None:
        """Take the number of tables; the pool's processes have inherited them."""
        self.start = {name: float(getattr(home_of(name), name)) for name in GRID}
        self._n_tables, self._pool = n_tables, pool
        self._known: dict[tuple[float, ...], list[Outcome]] = {}

    def outcomes(self, setting: dict[str, float]) -> list[Outcome]:
        """Outcomes of all tables with a setting; elements of low confidence are included."""
        key = tuple(setting.values())
        if key not in self._known:
            work = partial(_assess_at, {**setting, "MIN_CONFIDENCE": 0.0})
            self._known[key] = self._pool.map(work, range(self._n_tables), chunksize=8)
        return self._known[key]

    def best(self, chosen: Any) -> dict[str, float]:
        """The setting with the best score on the tables with the given indices."""
        setting, score, before = self.start, self._score(self.start, chosen), -np.inf
        while score > before:
            before = score
            for name, values in GRID.items():
                for value in values:
                    trial = {**setting, name: value}
                    reached = self._score(trial, chosen)
                    if reached > score:
                        score, setting = reached, trial
        return setting

    def _score(self, setting: dict[str, float], chosen: Any) -> float:
        outcomes = [self.outcomes(setting)[k] for k in chosen]
        emptiness = float(np.mean([abs(o.emptiness_error) for o in outcomes]))
        return f_measure(outcomes)[2] - emptiness


HELD: list[Table] = []  # inherited by every process of the pool, so that they need not be sent


def _assess_at(setting: dict[str, float], place: int) -> Outcome:
    apply(setting)
    return assess(HELD[place], emptiness=False)


def home_of(name: str) -> ModuleType:
    """The module of the package in which a constant is set."""
    return next(m for m in (elements, splitting, grouping) if hasattr(m, name))


def apply(setting: dict[str, Any]) -> None:
    """Set constants of the package."""
    for name, value in setting.items():
        setattr(home_of(name), name, value)


def logistic(cues: Any, right: Any) -> Any:
    """Bias and weights of a logistic regression with a ridge on standardised cues."""
    x, y = np.asarray(cues, float), np.asarray(right, float)
    middle, spread = x.mean(axis=0), x.std(axis=0) + 1e-9
    z = np.column_stack([np.ones(len(x)), (x - middle) / spread])

    def loss(b: Any) -> float:
        likelihood = np.logaddexp(0, -(2 * y - 1) * (z @ b)).mean()
        return float(likelihood + RIDGE * (b[1:] ** 2).sum() / 2)

    b = minimize(loss, np.zeros(z.shape[1])).x
    weights = b[1:] / spread
    return np.concatenate([[b[0] - weights @ middle], weights])


def stated(b: Any, cues: Any) -> Any:
    """Probabilities from a logistic regression."""
    return 1 / (1 + np.exp(-(b[0] + np.asarray(cues, float) @ b[1:])))


def crossed(cues: Any, right: Any, parts: Any) -> Any:
    """Probability of each case from a fit to the cases of the other parts."""
    cues, right, parts = np.asarray(cues, float), np.asarray(right), np.asarray(parts)
    answer = np.zeros(len(cues))
    for part in np.unique(parts):
        out = parts == part
        answer[out] = stated(logistic(cues[~out], right[~out]), cues[out])
    return answer


def left_after(
    outcomes: list[Outcome], sure: list[Any], least: float
) -> tuple[float, float, float]:
    """Precision, recall and F without the elements below a confidence."""
    chosen = [np.asarray(p) >= least for p in sure]
    hits = sum(int(np.asarray(o.matched)[c].sum()) for o, c in zip(outcomes, chosen, strict=True))
    found = sum(int(c.sum()) for c in chosen)
    true = sum(o.n_true for o in outcomes)
    return hits / max(found, 1), hits / max(true, 1), 2 * hits / max(found + true, 1)


def fit(tables: list[Table], workers: int) -> None:
    """Search the constants, fit the confidences and print both."""
    HELD[:] = tables
    places = np.arange(len(tables))
    part_of = places % N_FOLDS
    with multiprocessing.get_context("fork").Pool(workers) as pool:
        search = Search(len(tables), pool)
        setting = search.start = search.best(places)
        held_out: dict[int, Outcome] = {}
        for part in range(N_FOLDS):
            theirs = search.outcomes(search.best(places[part_of != part]))
            held_out |= {k: theirs[k] for k in places[part_of == part].tolist()}
        outcomes = search.outcomes(setting)
    say("fitted: precision {:.3f}, recall {:.3f}, F {:.3f}".format(*f_measure(outcomes)))
    crossed_over = f_measure(list(held_out.values()))
    say("cross-validated: precision {:.3f}, recall {:.3f}, F {:.3f}".format(*crossed_over))
    for name, value in setting.items():
        say(f"{name} = {value}")
    apply(setting)
    _fit_elements(outcomes, part_of)
    _fit_emptiness(tables, part_of)


def fit_confidences(tables: list[Table]) -> None:
    """Fit both confidence models with the current constants."""
    apply({"MIN_CONFIDENCE": 0.0})
    part_of = np.arange(len(tables)) % N_FOLDS
    _fit_elements([assess(table, emptiness=False) for table in tables], part_of)
    _fit_emptiness(tables, part_of)


def _fit_elements(outcomes: list[Outcome], part_of: Any) -> None:
    sizes = [len(o.right) for o in outcomes]
    cues = np.array([c for o in outcomes for c in o.cues])
    right = np.array([r for o in outcomes for r in o.right])
    sure = crossed(cues, right, np.repeat(part_of, sizes))
    by_table = np.split(sure, np.cumsum(sizes)[:-1])
    least = max(LEAST_CONFIDENCES, key=lambda value: left_after(outcomes, by_table, value)[2])
    figures = "precision {:.3f}, recall {:.3f}, F {:.3f}".format(
        *left_after(outcomes, by_table, least)
    )
    b = logistic(cues, right)
    say(f"MIN_CONFIDENCE = {least}  # best F; cross-validated {figures}")
    say(f"CONFIDENCE_BIAS = {b[0]:.3g}")
    say(f"CONFIDENCE_WEIGHTS = ({', '.join(f'{w:.3g}' for w in b[1:])})")
    shown = sure >= least
    say(f"  cross-validated, all: {calibration(sure, right)}")
    say(f"  cross-validated, shown: {calibration(sure[shown], right[shown])}")
    apply(
        {
            "MIN_CONFIDENCE": least,
            "CONFIDENCE_BIAS": b[0],
            "CONFIDENCE_WEIGHTS": tuple(b[1:]),
        }
    )


def _fit_emptiness(tables: list[Table], part_of: Any) -> None:
    outcomes = [assess(table) for table in tables]
    cues = np.array([o.emptiness_cues for o in outcomes])
    right = np.array([abs(o.emptiness_error) <= SPACE_TOLERANCE for o in outcomes])
    b = logistic(cues, right)
    say("and in negative_space:")
    say(f"CONFIDENCE_BIAS = {b[0]:.3g}")
    say(f"CONFIDENCE_WEIGHTS = ({', '.join(f'{w:.3g}' for w in b[1:])})")
    say(f"  cross-validated: {calibration(crossed(cues, right, part_of), right)}")


def say(line: str) -> None:
    """Print a line and flush."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """Check, and fit if requested."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("tables", type=Path, nargs="+")
    parser.add_argument("--fit", action="store_true", help="search constants and confidences")
    parser.add_argument("--confidences", action="store_true", help="fit the confidences only")
    parser.add_argument("--most", type=int, default=100_000, help="tables of each folder, at most")
    parser.add_argument("--workers", type=int, default=2, help="processes while searching")
    arguments = parser.parse_args()
    tables = load([folder.resolve() for folder in arguments.tables], arguments.most)
    report([assess(table) for table in tables])
    if arguments.fit:
        fit(tables, arguments.workers)
    elif arguments.confidences:
        fit_confidences(tables)


if __name__ == "__main__":
    main()

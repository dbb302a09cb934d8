"""Accuracy and confidence of colour temperatures estimated from the set; run by hand.

``python tests/benchmarks/check_known_temperatures.py SETS`` reads a folder of folders of pictures
of one look each (``python -m fixtures.rendering tables --look SEED``) with their ``truth.json``.
Each set is used whole and with pictures left out at random. It prints how often a value is within
the tolerance and its mean confidence, by how well the picture is tied and whether it agrees with
the set, and the plan's verdicts for a correct plan and for plans that are 45 mired off. Set
OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.accepted import Accepted
from auditor.comparison.colours import compare_colour_temperature, temperature_alone
from auditor.measurements.colour_temperature import TOLERANCE_MIRED
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.photograph.decode import read_photograph
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent
from auditor.quantity import Quantity
from auditor.series.colour.tied_pictures import tie_pictures
from auditor.series.white_balance.known_temperatures import known_temperatures
from auditor.series.white_balance.set_temperatures import WELL_TIED_MIRED, set_temperatures
from tests.benchmarks.geometry_of import finder

LEAST_PICTURES = 3
N_PARTS = 12  # of each set, the first of them the whole
PLAN_OFF_MIRED = (-45.0, 0.0, 45.0)

Results = dict[str, list[tuple[bool, float]]]
Verdicts = dict[tuple[str, float], Counter[str]]


def _parts(
    pictures: Sequence[MeasuredPhotograph], rng: np.random.Generator
) -> Iterator[list[MeasuredPhotograph]]:
    yield list(pictures)
    for _ in range(N_PARTS - 1):
        n = int(rng.integers(LEAST_PICTURES, len(pictures)))
        yield [pictures[k] for k in sorted(rng.permutation(len(pictures))[:n].tolist())]


def _count_values(
    part: Sequence[MeasuredPhotograph], truth: dict[str, float], results: Results
) -> None:
    temperatures = set_temperatures(part, tie_pictures(part))
    for picture in part:
        own, by_set = picture.colour_temperature, temperatures.get(picture.file)
        if own.value is None or by_set is None or not by_set.is_tied:
            continue
        tie = "well tied" if by_set.tolerance <= WELL_TIED_MIRED else "loosely tied"
        agrees = abs(own.value.mired - by_set.mired) <= TOLERANCE_MIRED
        kind = f"{tie}, {'agrees' if agrees else 'contradicts'}"
        for who, mired, confidence in (
            ("set", by_set.mired, by_set.group_confidence),
            ("alone", own.value.mired, own.confidence or 0.0),
        ):
            right = abs(mired - truth[picture.file]) <= TOLERANCE_MIRED
            results[f"{kind}: {who}"].append((right, confidence))


def _count_verdicts(
    pictures: Sequence[MeasuredPhotograph], truth: dict[str, float], verdicts: Verdicts
) -> None:
    known = {
        k.file: k.quantity
        for k in known_temperatures(pictures, set_temperatures(pictures, tie_pictures(pictures)))
    }
    for picture in pictures:
        alone = temperature_alone(picture)
        ways: dict[str, Quantity[float]] = {"alone": alone, "known": known.get(picture.file, alone)}
        for off in PLAN_OFF_MIRED:
            intent = Intent(colour_temperature=Accepted.exactly(truth[picture.file] + off))
            for way, quantity in ways.items():
                (item,) = compare_colour_temperature(intent, quantity, DEFAULT_TOLERANCES)
                verdicts[way, off][str(item.verdict)] += 1


def main() -> None:
    """Print one line for each kind of value and for each plan."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sets", type=Path)
    given = parser.parse_args()
    rng = np.random.default_rng(0)
    results: Results = defaultdict(list)
    verdicts: Verdicts = defaultdict(Counter)
    for folder in sorted(path for path in given.sets.iterdir() if path.is_dir()):
        written = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
        truth = {file: 1e6 / one["colour_temperature"]["cct_k"] for file, one in written.items()}
        files = sorted(path.name for path in folder.glob("*.jpg"))
        pictures = [measure(read_photograph(folder, file), finder()) for file in files]
        for part in _parts(pictures, rng):
            _count_values(part, truth, results)
        _count_verdicts(pictures, truth, verdicts)
    for kind, values in sorted(results.items()):
        right, confidence = np.array(values, dtype=np.float64).mean(axis=0)
        line = f"{kind:32} n {len(values):5}  within {right:.0%}, confidence {confidence:.0%}"
        sys.stdout.write(line + "\n")
    for (way, off), counts in sorted(verdicts.items()):
        sys.stdout.write(f"{way}, plan {off:+.0f} mired off: {dict(counts)}\n")


if __name__ == "__main__":
    main()

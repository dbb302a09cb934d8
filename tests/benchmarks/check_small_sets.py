"""Planted faults in small sets of photographs; run by hand after changes to the rules of the set.

``python tests/benchmarks/check_small_sets.py PHOTOGRAPHS [--half HALF] [--by-name [--cut CUT]]
[--draws N]`` draws sets of 5, 7, 12 and 30 photographs, makes one picture of each 1 EV brighter or
darker, or 40 mired warmer or cooler, and prints how often it is named for that, and how many of the
unchanged pictures are named for exposure or colour temperature.

Without ``--by-name`` the photographs (of unrelated tables) are first adjusted to one mean luminance
and one shades-of-grey white, and then vary by 0.15 EV and 5 mired, or by 0.5 EV and 20 mired
(uneven). With it, pictures whose names are equal up to ``--cut`` (by default the last number) are
one set and are taken as they are; the results are printed by the spread that the set has without a
fault.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import CONES_FROM_LINEAR, LINEAR_FROM_BYTE, XYZ_FROM_LINEAR, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.colour_signature import cells_of, colour_signature
from auditor.colour_signature.neutral_plane import plane_from_linear
from auditor.measurements.colour_temperature import measure_colour_temperature
from auditor.measurements.elements import FULL_CELL
from auditor.measurements.measured_photograph import MeasuredPhotograph, measure
from auditor.measurements.tone import measure_tone
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph
from auditor.saliency import default_finder
from auditor.series.series import Series, describe_series

SIZES = (5, 7, 12, 30)
FAULTS = (("exposure", 1.0), ("exposure", -1.0), ("colour_temperature", 40.0),
          ("colour_temperature", -40.0))  # fmt: skip
LOOKS = {"even": (0.15, 5.0), "uneven": (0.5, 20.0)}  # EV and mired
FOLLOWED = {"exposure", "colour_temperature"}
MEAN_LUMINANCE = 0.2
SHADES_NORM = 6  # Finlayson and Trezzi, Shades of gray and colour constancy (2004)


@dataclass(frozen=True)
class Frame:
    """A photograph with what was measured in it; only colours and tones change with a fault."""

    photograph: Photograph
    measured: MeasuredPhotograph
    occupied: NDArray[np.bool_]


def read(path: Path) -> Frame:
    photograph = read_photograph(path.parent, path.name)
    found = measure(photograph, default_finder())
    placed = np.array([[int(digit) for digit in row] for row in found.placed]) * 2 > FULL_CELL
    if found.subject.value is not None:
        box, (rows, columns) = found.subject.value.bbox, placed.shape
        placed[
            int(box.top * rows) : int(np.ceil(box.bottom * rows)),
            int(box.left * columns) : int(np.ceil(box.right * columns)),
        ] = True
    return Frame(photograph, found, placed)


def developed(frame: Frame, ev: float, mired: float) -> MeasuredPhotograph:
    """The picture brighter and warmer by so much."""
    pixels = frame.photograph.pixels
    if ev or mired:
        linear = shift_mired(LINEAR_FROM_BYTE[pixels].astype(np.float64), mired) * 2.0**ev
        pixels = np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
    cells = cells_of(pixels, frame.occupied)
    return replace(
        frame.measured,
        tone=measure_tone(pixels),
        colours=colour_signature(cells),
        colour_temperature=measure_colour_temperature(cells),
    )


def to_one_look(frame: Frame) -> tuple[float, float]:
    """EV and mired that bring a picture to the common mean and white."""
    linear = LINEAR_FROM_BYTE[frame.photograph.pixels].astype(np.float64)
    cones = np.maximum(linear.reshape(-1, 3) @ CONES_FROM_LINEAR.T, 0)
    white = np.maximum((cones**SHADES_NORM).mean(axis=0) ** (1 / SHADES_NORM), 1e-4)
    warmth = float(plane_from_linear(np.linalg.inv(CONES_FROM_LINEAR) @ white)[0])
    linear = shift_mired(linear, -warmth)
    mean = float((np.clip(linear, 0, 1) @ XYZ_FROM_LINEAR[1]).mean())
    return float(np.log2(MEAN_LUMINANCE / max(mean, 1e-3))), -warmth


def named(series: Series) -> dict[str, set[str]]:
    """Files of the pictures that are named, by quantity."""
    return {
        quantity.quantity: {outlier.file for outlier in quantity.outliers}
        for quantity in series.quantities
        if quantity.quantity in FOLLOWED
    }


class Counts:
    """How many faults were named, and how many unchanged pictures."""

    def __init__(self) -> None:
        self.faults: defaultdict[str, list[bool]] = defaultdict(list)
        self.wrong: list[float] = []

    def add(self, quantity: str, files: Mapping[str, set[str]], changed: str, n: int) -> None:
        self.faults[quantity].append(changed in files[quantity])
        others = set().union(*files.values()) - {changed}
        self.wrong.append(len(others) / (n - 1))

    def __str__(self) -> str:
        shares = ", ".join(
            f"{quantity} named {np.mean(hits):.2f} of {len(hits)}"
            for quantity, hits in sorted(self.faults.items())
        )
        return f"{shares}; other pictures named {np.mean(self.wrong):.3f}"


def by_look(frames: Sequence[Frame], n_draws: int) -> Iterator[tuple[str, Counts]]:
    """Sets of unrelated photographs in one look."""
    looks = [to_one_look(frame) for frame in frames]
    random = np.random.default_rng(12)
    for look, (ev_spread, mired_spread) in LOOKS.items():
        for n in SIZES:
            counts = Counts()
            for draw in range(n_draws):
                quantity, size = FAULTS[draw % len(FAULTS)]
                chosen = random.choice(len(frames), n, replace=False).tolist()
                pictures = []
                for place, at in enumerate(chosen):
                    ev = looks[at][0] + random.normal(0, ev_spread)
                    mired = looks[at][1] + random.normal(0, mired_spread)
                    if place == 0:
                        ev += size if quantity == "exposure" else 0
                        mired += size if quantity == "colour_temperature" else 0
                    pictures.append(developed(frames[at], ev, mired))
                counts.add(quantity, named(describe_series(pictures)), pictures[0].file, n)
            yield f"{look}, {n} pictures", counts


def by_name(frames: Sequence[Frame], cut: str) -> Iterator[tuple[str, Counts]]:
    """Sets as they were shot."""
    sets: defaultdict[str, list[Frame]] = defaultdict(list)
    for frame in frames:
        sets[re.sub(cut, "", frame.measured.file)].append(frame)
    found: defaultdict[str, Counts] = defaultdict(Counts)
    for members in sets.values():
        n = len(members)
        if n < min(SIZES):
            continue
        unchanged = describe_series([frame.measured for frame in members])
        spreads = {q.quantity: q.spread for q in unchanged.quantities}
        for quantity, size in FAULTS:
            limit = 0.2 if quantity == "exposure" else 10.0
            spread = spreads.get(quantity)
            kind = "even" if spread is not None and spread < limit else "uneven"
            for place in range(n):
                pictures = [frame.measured for frame in members]
                pictures[place] = developed(
                    members[place],
                    size if quantity == "exposure" else 0,
                    size if quantity == "colour_temperature" else 0,
                )
                key = f"{kind}, {'5 or 6' if n < 7 else '7 and more'} pictures"
                files = named(describe_series(pictures))
                found[key].add(quantity, files, pictures[place].file, n)
    yield from sorted(found.items())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("--half", choices=("even", "odd"))
    parser.add_argument("--by-name", action="store_true")
    parser.add_argument("--cut", default=r"[-_]?\d+\.\w+$", help="regular expression")
    parser.add_argument("--draws", type=int, default=40)
    given = parser.parse_args()
    paths = sorted(given.photographs.glob("*.jpg"))
    if given.half:
        paths = paths[given.half == "odd" :: 2]
    with ProcessPoolExecutor(os.cpu_count()) as workers:
        frames = list(workers.map(read, paths, chunksize=4))
    results = by_name(frames, given.cut) if given.by_name else by_look(frames, given.draws)
    for label, counts in results:
        sys.stdout.write(f"{label}: {counts}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()

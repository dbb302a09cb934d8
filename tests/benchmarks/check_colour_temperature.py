"""Errors of the colour temperature of single pictures; run by hand after the networks change.

``python tests/benchmarks/check_colour_temperature.py TABLES [PHOTOGRAPHS]`` reads rendered tables
with their truth (``python -m fixtures.rendering tables --family checking --coloured-ground
--max-cast 60``). It prints the errors on neutral tables and on those with a cast, and how often
warm or cool is right for casts over 25 mired. Every second picture of the folder PHOTOGRAPHS is
assumed to be balanced and shifted by Bradford adaptation.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import D65_MIRED, LINEAR_FROM_BYTE, shift_mired, srgb_from_linear
from auditor.colour_signature import cells_of
from auditor.measurements.colour_temperature import (
    TOLERANCE_MIRED,
    measure_colour_temperature,
)
from auditor.photograph.decode import read_photograph

SHIFTS_MIRED = (0.0, -50.0, -30.0, 30.0, 50.0)
STRONG_MIRED = 25.0
NOTHING = np.zeros((4, 4), dtype=np.bool_)
Result = tuple[float, float, float]  # true shift, measured shift or nan, confidence


def measured(pixels: NDArray[np.uint8], shift: float) -> Result:
    quantity = measure_colour_temperature(cells_of(pixels, NOTHING))
    mired = np.nan if quantity.value is None else quantity.value.mired - D65_MIRED
    return shift, mired, quantity.confidence or 0.0


def of_tables(folder: Path) -> Iterator[Result]:
    for name, true in json.loads((folder / "truth.json").read_text()).items():
        photograph = read_photograph(folder, name)
        yield measured(photograph.pixels, float(true["colour_temperature"]["shift_mired"]))


def of_photographs(folder: Path) -> Iterator[Result]:
    for path in sorted(folder.glob("*.jpg"))[1::2]:
        pixels = read_photograph(folder, path.name).pixels
        linear = LINEAR_FROM_BYTE[pixels].astype(np.float64)
        for shift in SHIFTS_MIRED:
            moved = srgb_from_linear(np.clip(shift_mired(linear, shift), 0, 1))
            yield measured(np.rint(255 * moved).astype(np.uint8), shift)


def report(name: str, every: list[Result]) -> None:
    true, found, confidence = np.array(every).T
    off = np.abs(found - true)
    answered = np.isfinite(found)
    for label, kind in (("neutral", true == 0), ("cast", true != 0)):
        here = kind & answered
        sys.stdout.write(
            f"{name}, {label}: {here.sum()} of {kind.sum()} answered, error "
            f"{np.median(off[here]):.1f} mired (median), {np.quantile(off[here], 0.8):.1f} (80 %); "
            f"within 15: {np.mean(off[here] <= 15):.3f}, confidence {confidence[here].mean():.3f}\n"
        )
    is_right = (off <= TOLERANCE_MIRED)[answered]
    sure = confidence[answered]
    bins = [(sure >= low) & (sure < low + 0.1) for low in np.arange(0, 1, 0.1)]
    apart = [part.mean() * abs(sure[part].mean() - is_right[part].mean()) for part in bins
             if part.any()]  # fmt: skip
    sys.stdout.write(
        f"{name}, all: confidence {sure.mean():.3f}, within {TOLERANCE_MIRED:.0f}: "
        f"{is_right.mean():.3f}, expected calibration error {sum(apart):.3f} (bins of 0.1)\n"
    )
    strong = np.abs(true) > STRONG_MIRED
    right = np.sign(np.nan_to_num(found)) == np.sign(true)
    sys.stdout.write(
        f"{name}, casts over {STRONG_MIRED:.0f} mired: warm or cool right on "
        f"{right[strong].mean():.3f} of {strong.sum()}\n"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("tables", type=Path)
    parser.add_argument("photographs", type=Path, nargs="?")
    given = parser.parse_args()
    report("tables", list(of_tables(given.tables)))
    if given.photographs:
        report("photographs", list(of_photographs(given.photographs)))


if __name__ == "__main__":
    main()

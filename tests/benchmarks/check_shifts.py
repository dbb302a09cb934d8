"""Known changes of white and of exposure on photographs; run by hand after a colour changes.

``python tests/benchmarks/check_shifts.py FOLDER [--n 100]`` shifts photographs by Bradford
adaptation in linear light. It prints how often the shift is measured correctly: by comparing the
two pictures, as within a set, and from each picture alone. It then changes their exposure in linear
light, without the clipped pixels, and prints how often that is measured correctly. Set
OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import LINEAR_FROM_BYTE, shift_mired
from auditor.colorimetry.srgb import srgb_from_linear
from auditor.colour_signature import Cells, cells_of, colour_signature, mired_from_warmth
from auditor.measurements.colour_temperature import measure_colour_temperature
from auditor.measurements.tone import measure_tone
from auditor.photograph.decode import read_photograph
from auditor.series.colour.pairwise_shift import compare, spectrum

SHIFTS_MIRED = (-60.0, -30.0, -15.0, 15.0, 30.0, 60.0)
EXPOSURES_EV = (-1.5, -1.0, -0.5, 0.5, 1.0)
NOTHING = np.zeros((4, 4), dtype=np.bool_)


def _encoded(linear: NDArray[np.float64]) -> NDArray[np.uint8]:
    return np.rint(srgb_from_linear(np.clip(linear, 0, 1)) * 255).astype(np.uint8)


def _alone(cells: Cells) -> float | None:
    value = measure_colour_temperature(cells).value
    return None if value is None else value.mired


def _within(errors: NDArray[np.float64], shifts: NDArray[np.float64]) -> float:
    return float(np.mean(np.abs(errors) <= np.maximum(3.0, 0.1 * np.abs(shifts))))


def main() -> None:
    """Print one line for each way of measuring."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--n", type=int, default=100)
    given = parser.parse_args()
    compared, alone, exposures = [], [], []
    n_without_value = 0
    for path in sorted(given.folder.glob("*.jpg"))[: given.n]:
        pixels = read_photograph(given.folder, path.name).pixels
        linear = LINEAR_FROM_BYTE[pixels].astype(np.float64)
        cells = cells_of(pixels, NOTHING)
        here, own = spectrum(colour_signature(cells)), _alone(cells)
        for shift in SHIFTS_MIRED:
            changed = cells_of(_encoded(shift_mired(linear, shift)), NOTHING)
            found = compare(here, spectrum(colour_signature(changed)))
            # The shift is one of D65 and moves all colours by the same vector in the plane.
            warmer = mired_from_warmth(found.warmer) - mired_from_warmth(0.0)
            compared.append((warmer - shift, shift))
            after = _alone(changed)
            if own is None or after is None:
                n_without_value += 1
            else:
                alone.append((after - own - shift, shift))
        for ev in EXPOSURES_EV:
            kept = ((linear * 2.0**ev).max(axis=-1) < 1) & (pixels.max(axis=-1) < 255)
            if kept.mean() < 0.2:
                continue  # nearly all of it would be clipped
            before = measure_tone(pixels[kept][None]).exposure_ev
            after_ev = measure_tone(_encoded(linear[kept] * 2.0**ev)[None]).exposure_ev
            exposures.append(after_ev - before - ev)
    for name, pairs in (("compared", compared), ("each alone", alone)):
        errors, shifts = np.array(pairs).T
        sys.stdout.write(
            f"white, {name}: {errors.size} shifts, within 3 mired or 10 %: "
            f"{_within(errors, shifts):.3f}, median {np.median(np.abs(errors)):.2f}, 95 % "
            f"{np.quantile(np.abs(errors), 0.95):.1f}\n"
        )
    sys.stdout.write(f"no value alone, before or after: {n_without_value}\n")
    off = np.abs(exposures)
    sys.stdout.write(f"exposure: {off.size} changes, within 0.1 EV: {np.mean(off <= 0.1):.3f}\n")


if __name__ == "__main__":
    main()

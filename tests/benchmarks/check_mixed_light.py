"""How often mixed light is reported under one light and under two; run by hand.

``python tests/benchmarks/check_mixed_light.py FOLDER [--every 2] [--tables TABLES]`` takes each
photograph of FOLDER to show one light, and draws two lights onto it: a soft border at a random
angle near the middle, one light on either side, 60 mired apart, by Bradford adaptation in linear
light. It prints the share of pictures reported as mixed without and with the second light, the
error of the difference between the two lights, and how much of the frame the map puts on the right
side. TABLES are rendered tables under a window and a lamp (``fixtures/rendering/two_lights.py``).
Set OMP_NUM_THREADS=1 on a shared machine.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import LINEAR_FROM_BYTE, cell_means, shift_mired, srgb_from_linear
from auditor.colour_signature import cells_of
from auditor.measurements.colour_temperature import ColourTemperature, measure_colour_temperature
from auditor.photograph.decode import read_photograph

APART_MIRED = 60.0
BORDER_WIDTH = 0.15  # of the longer side, from 10 to 90 % of the light
OFF_MIDDLE = 0.12  # of the longer side: the border's greatest distance from the middle
SEED = 20251205
LOGISTIC_10_TO_90 = 4.39  # width of a logistic step from 10 to 90 %, in units of its scale
NOTHING = np.zeros((4, 4), dtype=np.bool_)
LEAST_TABLE_MIRED = 40.0  # between the parts of a table; `MIN_SEPARATION_MIRED` of the measurement


def border(shape: tuple[int, int], seed: int) -> NDArray[np.float64]:
    """Share of the warm light at each pixel: a soft step across the frame."""
    rng = np.random.default_rng([SEED, seed])
    longer = max(shape)
    angle, off = rng.uniform(0, 2 * np.pi), rng.uniform(-OFF_MIDDLE, OFF_MIDDLE) * longer
    y, x = np.mgrid[: shape[0], : shape[1]]
    away = np.cos(angle) * (x - shape[1] / 2) + np.sin(angle) * (y - shape[0] / 2) - off
    steps: NDArray[np.float64] = away / (BORDER_WIDTH * longer) * LOGISTIC_10_TO_90
    return np.asarray(1 / (1 + np.exp(-steps)))


def under_two_lights(pixels: NDArray[np.uint8], warm: NDArray[np.float64]) -> NDArray[np.uint8]:
    linear = LINEAR_FROM_BYTE[pixels].astype(np.float64)
    cool_side, warm_side = (shift_mired(linear, s * APART_MIRED / 2) for s in (-1, 1))
    mixed = warm[..., np.newaxis] * (warm_side - cool_side) + cool_side
    return np.rint(255 * srgb_from_linear(np.clip(mixed, 0, 1))).astype(np.uint8)


def measured(pixels: NDArray[np.uint8]) -> ColourTemperature | None:
    return measure_colour_temperature(cells_of(pixels, NOTHING)).value


def is_mixed(found: ColourTemperature | None) -> bool:
    return found is not None and len(found.clusters) > 1


def right_side(found: ColourTemperature, warm: NDArray[np.float64]) -> float:
    """Share of the mapped cells that are on the side of the warm light as drawn."""
    rows = np.array([list(row) for row in found.light_map])
    mapped = rows != "."
    warmest = str(int(np.argmin([cluster.cct_k for cluster in found.clusters])))
    drawn = cell_means(warm, *rows.shape) > 0.5
    return float(((rows == warmest) == drawn)[mapped].mean()) if mapped.any() else 0.0


def of_photographs(folder: Path, every: int) -> None:
    alone, apart, sides = [], [], []
    names = [path.name for path in sorted(folder.glob("*.jpg"))[::every]]
    n_found = 0
    for seed, name in enumerate(names):
        pixels = read_photograph(folder, name).pixels
        if is_mixed(measured(pixels)):
            alone.append(name)
        warm = border(pixels.shape[:2], seed)
        found = measured(under_two_lights(pixels, warm))
        if found is not None and is_mixed(found):
            n_found += 1
            mired = [1e6 / cluster.cct_k for cluster in found.clusters]
            apart.append(max(mired) - min(mired))
            sides.append(right_side(found, warm))
    sys.stdout.write(
        f"{folder}: mixed light reported on {len(alone)} of {len(names)} as they are "
        f"({len(alone) / len(names):.3f}), on {n_found} of {len(names)} with two lights "
        f"{APART_MIRED:.0f} mired apart ({n_found / len(names):.3f})\n"
    )
    if apart:
        off = np.abs(np.array(apart) - APART_MIRED)
        sys.stdout.write(
            f"of these: difference of the lights off by {np.median(off):.1f} mired (median), "
            f"{np.quantile(off, 0.8):.1f} (80 %); {np.median(sides):.2f} of the map on the right "
            "side (median)\n"
        )
    sys.stdout.write("reported as they are: " + ", ".join(alone) + "\n")


def of_tables(folder: Path) -> None:
    true = json.loads((folder / "truth.json").read_text())
    apart = np.array([record["mired_between_parts"] for record in true.values()])
    mixed = np.array([is_mixed(measured(read_photograph(folder, name).pixels)) for name in true])
    for label, kind in (
        ("one light", apart == 0),
        (f"up to {LEAST_TABLE_MIRED:.0f} mired", (apart > 0) & (apart < LEAST_TABLE_MIRED)),
        (f"{LEAST_TABLE_MIRED:.0f} mired and more", apart >= LEAST_TABLE_MIRED),
    ):
        sys.stdout.write(
            f"tables, {label} between the parts: mixed light reported on {mixed[kind].sum()} of "
            f"{kind.sum()}\n"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--every", type=int, default=1, help="take every Nth picture")
    parser.add_argument("--tables", type=Path)
    given = parser.parse_args()
    of_photographs(given.folder, given.every)
    if given.tables:
        of_tables(given.tables)


if __name__ == "__main__":
    main()

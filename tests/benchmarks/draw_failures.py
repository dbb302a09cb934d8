"""Draw the rendered tables with the largest subject errors, for MODEL.md; run by hand.

``python tests/benchmarks/draw_failures.py TABLES OUT.jpg`` outlines the found subject in white and
the true one in black, with the name and the error of the centroid, as a share of the diagonal,
below each picture.
"""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.geometry import Point, distance_fraction
from auditor.measurements.subject import measure_subject
from auditor.saliency.network import trained_finder

CELL_PX, CAPTION_PX, N_COLUMNS = 300, 16, 4
LINE_PX = 2

Mask = NDArray[np.bool_]


@dataclass
class Failure:
    """One table and the error on it."""

    name: str
    picture: Image.Image
    found: Mask
    true: Mask
    error: float | None

    @property
    def caption(self) -> str:
        """Text below the picture."""
        error = "no subject" if self.error is None else f"off by {self.error:.3f}"
        return f"{self.name}: {error}"


def assess(folder: Path, name: str, at: list[float]) -> Failure:
    """Find the subject of one table."""
    picture = Image.open(folder / name).convert("RGB")
    width, height = picture.size
    maps = trained_finder().find(np.asarray(picture)).in_frame(width, height)
    subject = measure_subject(maps.subject, maps.elements)
    shown = Image.open(folder / "masks" / f"{Path(name).stem}.png")
    true = np.asarray(shown.resize(picture.size, Image.Resampling.NEAREST)) == 1
    found = Image.fromarray(subject.mask).resize(picture.size, Image.Resampling.NEAREST)
    region = subject.region.value
    error = region and distance_fraction(region.centroid, Point(*at), width, height)
    return Failure(Path(name).stem, picture, np.asarray(found), true, error)


def drawn(failure: Failure) -> Image.Image:
    """One cell of the sheet."""
    pixels = np.array(failure.picture)
    for mask, shade in ((failure.true, 0), (failure.found, 255)):
        pixels[ndimage.binary_dilation(mask, iterations=LINE_PX) & ~mask] = shade
    picture = Image.fromarray(pixels)
    picture.thumbnail((CELL_PX, CELL_PX))
    cell = Image.new("RGB", (CELL_PX + 8, CELL_PX + CAPTION_PX + 8), "white")
    cell.paste(picture, (0, CELL_PX - picture.height))
    ImageDraw.Draw(cell).text((0, CELL_PX + 2), failure.caption, fill="black")
    return cell


def main() -> None:
    """Find the worst tables and draw them."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("tables", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--most", type=int, default=8)
    given = parser.parse_args()
    truth = json.loads((given.tables / "truth.json").read_text(encoding="utf-8"))
    all_of_them = [assess(given.tables, n, t["subject"]["centroid"]) for n, t in truth.items()]
    worst = sorted(all_of_them, key=lambda f: np.inf if f.error is None else f.error)[::-1]
    cells = [drawn(failure) for failure in worst[: given.most]]
    n_rows = -(-len(cells) // N_COLUMNS)
    width, height = cells[0].size
    sheet = Image.new("RGB", (N_COLUMNS * width, n_rows * height), "white")
    for place, cell in enumerate(cells):
        sheet.paste(cell, (place % N_COLUMNS * width, place // N_COLUMNS * height))
    sheet.save(given.out, quality=85)


if __name__ == "__main__":
    main()

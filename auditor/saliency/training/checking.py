"""Figures of the exported weights, as the programme runs them, on photographs kept back.

``python -m auditor.saliency.training.checking DATA`` takes the salient photographs that no
training and no choice has seen; with ``--tables FOLDER`` rendered tables and their truth.json.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from auditor.saliency.network import trained_finder
from auditor.saliency.training.photographs import salient_names
from auditor.saliency.training.scores import CENTROID_SHARE, centroid, figures


def subject_map(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """The finder's subject map at the picture's own size."""
    found = Image.fromarray(trained_finder().find(pixels).subject)
    size = (pixels.shape[1], pixels.shape[0])
    return np.asarray(found.resize(size, Image.Resampling.BILINEAR))


def check_photographs(folder: Path) -> dict[str, float]:
    """Over the photographs of `salient_names` that are only for checking."""
    _, _, names = salient_names(folder)
    maps, truths = [], []
    for name in names:
        picture = Image.open(folder / "images" / f"{name}.jpg").convert("RGB")
        mask = Image.open(folder / "masks" / f"{name}.png").convert("L")
        maps.append(subject_map(np.asarray(picture)))
        truths.append(np.asarray(mask.resize(picture.size)) > 127)
    return {"n": len(names), **figures(maps, truths)}


def check_tables(folder: Path) -> dict[str, float]:
    """Over rendered tables: distance of the map's centroid from the true one."""
    errors = []
    for name, truth in json.loads((folder / "truth.json").read_text(encoding="utf-8")).items():
        pixels = np.asarray(Image.open(folder / name).convert("RGB"))
        found = subject_map(pixels)
        high = found * (found > CENTROID_SHARE * found.max())
        diagonal = np.hypot(*high.shape)
        found_at = centroid(high)
        true_at = np.array(truth["subject"]["centroid"])[::-1] * high.shape - 0.5
        errors.append(float(np.hypot(*(found_at - true_at)) / diagonal))
    return {
        "n": len(errors),
        "centroid_mean": float(np.mean(errors)),
        "centroid_median": float(np.median(errors)),
        "within_0.05": float(np.mean(np.array(errors) <= 0.05)),
    }


def main() -> None:
    """Write the figures to standard output, as JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("data", type=Path, nargs="?", help="folder with salient/")
    parser.add_argument("--tables", type=Path, help="folder of rendered tables")
    arguments = parser.parse_args()
    found: dict[str, dict[str, float]] = {}
    if arguments.data is not None:
        found["photographs"] = check_photographs(arguments.data / "salient")
    if arguments.tables is not None:
        found["tables"] = check_tables(arguments.tables)
    sys.stdout.write(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main()

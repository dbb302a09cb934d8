"""Time to measure colour, tone and focus of photographs of 24 and 36 megapixels; run by hand.

    OMP_NUM_THREADS=1 python tests/benchmarks/bench_colour.py FOLDER [number]

enlarges some photographs of FOLDER to 24 and 36 megapixels, adds grain, saves them as JPEG, reads
them like the program, and times each stage: processor time of one core, best and median of several
runs, both averaged over the photographs. Subject and elements are ellipses of typical size. Finding
them is not timed here, nor is reading.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import mean, median

import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colour_signature import cells_of, colour_signature
from auditor.measurements.background_and_surface import measure_background_and_surface
from auditor.measurements.colour_temperature import measure_colour_temperature
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.focus import measure_focus
from auditor.measurements.keypoints import measure_keypoints
from auditor.measurements.palette import measure_colours
from auditor.measurements.tone import measure_subject_tone, measure_tone
from auditor.photograph.decode import read_photograph
from auditor.photograph.photograph import Photograph

_SIZES = {"24 MP": (6000, 4000), "36 MP": (7360, 4912)}
_N_RUNS = 9
_N_PHOTOGRAPHS = 4
_GRAIN = 4.0  # 8-bit levels: about ISO 400
_ELEVATION_DEG = 30.0  # low enough for a table edge to be searched

Mask = NDArray[np.bool_]


def enlarged(path: Path, size: tuple[int, int], rng: np.random.Generator) -> Image.Image:
    """A photograph at another size, with added grain."""
    picture = Image.open(path).convert("RGB").resize(size, Image.Resampling.BICUBIC)
    grain = rng.normal(0, _GRAIN, (size[1], size[0])).astype(np.int16)
    noisy = np.asarray(picture).astype(np.int16) + grain[..., np.newaxis]
    return Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8))


def ellipse(shape: tuple[int, int], middle: tuple[float, float], radius: float) -> Mask:
    """An ellipse; `middle` and `radius` in fractions of the frame."""
    y, x = ((np.arange(side) + 0.5) / side for side in shape)
    away: Mask = (y[:, None] - middle[1]) ** 2 + (x - middle[0]) ** 2 < radius**2
    return away


def stages(photograph: Photograph) -> dict[str, Callable[[], object]]:
    """Every stage by name, colour and tone first, focus last."""
    pixels = photograph.pixels
    subject = ellipse(pixels.shape[:2], (0.5, 0.55), 0.25)
    occupied = subject | ellipse(pixels.shape[:2], (0.85, 0.2), 0.1)
    cells = cells_of(pixels, occupied)
    return {
        "palette": lambda: measure_colours(pixels, subject, occupied),
        "background and surface": lambda: measure_background_and_surface(
            pixels, occupied, _ELEVATION_DEG
        ),
        "cells": lambda: cells_of(pixels, occupied),
        "colour temperature": lambda: measure_colour_temperature(cells),
        "colour signature": lambda: colour_signature(cells),
        "tone": lambda: measure_tone(pixels),
        "subject tone": lambda: measure_subject_tone(pixels, subject),
        "fingerprint": lambda: fingerprint(pixels),
        "keypoints": lambda: measure_keypoints(pixels),
        "focus": lambda: measure_focus(photograph.detail, subject),
    }


def times_ms(run: Callable[[], object]) -> tuple[float, float]:
    """Best and median of several runs."""
    run()
    taken = []
    for _ in range(_N_RUNS):
        start = time.process_time()
        run()
        taken.append(1000 * (time.process_time() - start))
    return min(taken), median(taken)


def main() -> None:
    """Print a table for each size."""
    folder = Path(sys.argv[1])
    wanted = int(sys.argv[2]) if len(sys.argv) > 2 else _N_PHOTOGRAPHS
    found = sorted(folder.glob("*.jpg"))
    chosen = found[:: max(1, len(found) // wanted)][:wanted]
    rng = np.random.default_rng(0)
    with tempfile.TemporaryDirectory() as name:
        for label, size in _SIZES.items():
            figures: dict[str, list[tuple[float, float]]] = {}
            for path in chosen:
                enlarged(path, size, rng).save(Path(name) / "picture.jpg", quality=92)
                photograph = read_photograph(Path(name), "picture.jpg")
                for stage, run in stages(photograph).items():
                    figures.setdefault(stage, []).append(times_ms(run))
            _print(label, photograph, figures)


def _print(label: str, read: Photograph, figures: dict[str, list[tuple[float, float]]]) -> None:
    shapes = [f"{p.shape[1]} x {p.shape[0]}" for p in (read.pixels, read.detail)]
    lines = [f"{label}: pixels {shapes[0]}, detail {shapes[1]}; ms, best and median"]
    means = {stage: [mean(kind) for kind in zip(*of, strict=True)] for stage, of in figures.items()}
    colour = [means[stage] for stage in means if stage != "focus"]
    means["all of colour and tone"] = [sum(kind) for kind in zip(*colour, strict=True)]
    lines += [f"  {stage:24s}{best:8.1f}{middle:8.1f}" for stage, (best, middle) in means.items()]
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()

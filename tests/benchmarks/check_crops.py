"""Crops of photographs among the photographs of a folder: what is found, missed, and wrongly found.

    OMP_NUM_THREADS=1 python tests/benchmarks/check_crops.py FOLDER [--seed N] [--sizes N ...]

crops 40 photographs of FOLDER to 50 to 90 % of each side and another aspect ratio, changes their
brightness by a third of a stop and their size (a third keep it, others get 60 to 200 % of it), and
saves them as JPEG of quality 50 to 95. The crops and all photographs make one set. Printed are how
many of the 40 pairs are found, how far their boxes are off, which other pairs are reported, and how
long a picture and the set take.

With ``--both`` two crops of each of the 40 photographs take its place: a wide one of full width and
an upright one of full height, which share at least 60 % of the smaller.

The time is also taken for larger sets (500 pictures, or ``--sizes``), which mirrored and turned
copies of the photographs fill up. To the keypoints these are other pictures.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import linear_from_srgb, srgb_from_linear
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.keypoints import measure_keypoints
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.photograph.decode import read_photograph
from auditor.photograph.folder import find_pictures
from auditor.photograph.photograph import Photograph
from auditor.series.alike import AlikePictures, join_alike
from auditor.series.crops import CroppedPicture, find_crops
from auditor.series.duplicates import find_duplicates
from tests.factories import measured_photograph

N_PAIRS = 40
SIDES = (0.5, 0.9)
OTHER_ASPECT = 0.1  # least change of the logarithm of the aspect ratio
SIZES = (0.6, 2.0)
QUALITIES = (50, 95)
BRIGHTNESS_EV = 1 / 3
BOTH_SIDES = (0.6, 0.85)
# (turns by 90 degrees, mirrored): the eight ways to lay a picture.
WAYS = tuple((turns, mirrored) for mirrored in (False, True) for turns in range(4))

Pixels = NDArray[np.uint8]
Edges = tuple[float, float, float, float]


def exported(pixels: Pixels, edges: Edges, rng: np.random.Generator, file: Path) -> Edges:
    """Save a crop, changed as the module says; returns its exact edges."""
    height, width = pixels.shape[:2]
    left, right = (round(edges[k] * width) for k in (0, 2))
    top, bottom = (round(edges[k] * height) for k in (1, 3))
    scale = float(rng.choice([1.0, rng.uniform(SIZES[0], 1), rng.uniform(1, SIZES[1])]))
    crop = Image.fromarray(pixels[top:bottom, left:right])
    size = (round(crop.width * scale), round(crop.height * scale))
    linear = linear_from_srgb(np.asarray(crop.resize(size, Image.Resampling.LANCZOS)) / 255)
    brighter = np.clip(linear * 2.0 ** (rng.choice([-1, 1]) * BRIGHTNESS_EV), 0, 1)
    bytes_ = np.rint(srgb_from_linear(brighter) * 255).astype(np.uint8)
    Image.fromarray(bytes_).save(file, quality=int(rng.integers(*QUALITIES, endpoint=True)))
    return left / width, top / height, right / width, bottom / height


def any_crop(rng: np.random.Generator) -> Edges:
    """Edges of a crop of another aspect ratio, anywhere in the frame."""
    while True:
        width, height = rng.uniform(*SIDES, 2)
        if abs(np.log(width / height)) >= OTHER_ASPECT:
            break
    left, top = rng.uniform(0, 1 - width), rng.uniform(0, 1 - height)
    return float(left), float(top), float(left + width), float(top + height)


def wide_and_upright(rng: np.random.Generator) -> tuple[Edges, Edges]:
    """Edges of a crop of full width and of one of full height."""
    height, width = rng.uniform(*BOTH_SIDES, 2)
    top, left = rng.uniform(0, 1 - height), rng.uniform(0, 1 - width)
    return (0.0, float(top), 1.0, float(top + height)), (float(left), 0.0, float(left + width), 1.0)


def measured(photograph: Photograph, way: tuple[int, bool] = WAYS[0]) -> MeasuredPhotograph:
    """A picture with what crops and near-duplicates are found by."""
    turns, mirrored = way
    pixels = np.rot90(photograph.pixels[:, :: -1 if mirrored else 1], turns)
    sides = (photograph.width, photograph.height)
    width, height = sides if turns % 2 == 0 else sides[::-1]
    name = f"{photograph.file} {turns} {mirrored}"
    return measured_photograph(
        file=photograph.file if way == WAYS[0] else name,
        sha256=f"{photograph.sha256}{turns}{mirrored}",
        width=width,
        height=height,
        fingerprint=fingerprint(pixels),
        keypoints=measure_keypoints(np.ascontiguousarray(pixels)),
    )


def alike_of(pictures: Sequence[MeasuredPhotograph]) -> tuple[AlikePictures, ...]:
    """Pictures that are reported as nearly the same."""
    return join_alike(pictures, find_duplicates(pictures))


def planted(
    folder: Path, files: Sequence[str], rng: np.random.Generator, into: Path, *, both: bool
) -> tuple[list[Photograph], dict[frozenset[str], Edges | None]]:
    """The photographs of the set, and the pairs that have to be found with the edges of the crop.

    Where both were cropped there are no edges.
    """
    pictures = {file: read_photograph(folder, file) for file in files}
    pairs: dict[frozenset[str], Edges | None] = {}
    for place in rng.permutation(len(files))[:N_PAIRS].tolist():
        pixels = np.asarray(Image.open(folder / files[place]).convert("RGB"))
        names = [f"{kind}-{place:04d}.jpg" for kind in ("crop", "wide", "upright")]
        if both:
            for name, edges in zip(names[1:], wide_and_upright(rng), strict=True):
                exported(pixels, edges, rng, into / name)
                pictures[name] = read_photograph(into, name)
            del pictures[files[place]]
            pairs[frozenset(names[1:])] = None
        else:
            edges = exported(pixels, any_crop(rng), rng, into / names[0])
            pictures[names[0]] = read_photograph(into, names[0])
            pairs[frozenset((files[place], names[0]))] = edges
    return list(pictures.values()), pairs


def report(
    reported: Sequence[CroppedPicture],
    pairs: dict[frozenset[str], Edges | None],
    alike: Sequence[AlikePictures],
) -> None:
    """Print what was found, what was not, and what else was reported."""
    by_files = {frozenset((pair.whole, pair.crop)): pair for pair in reported}
    found = [files for files in pairs if files in by_files]
    say(f"found: {len(found)} of {len(pairs)} pairs")
    errors = [
        float(np.abs(np.subtract(by_files[files].box, edges)).max())
        for files in found
        if (edges := pairs[files]) is not None
    ]
    if errors:
        say(f"edges off by up to {max(errors):.4f} of the frame, median {np.median(errors):.4f}")
    for files in pairs:
        if files not in by_files:
            near = any(files <= set(group.files) for group in alike)
            say(f"  not found: {' and '.join(sorted(files))}{' (nearly the same)' if near else ''}")
    others = [pair for files, pair in by_files.items() if files not in pairs]
    say(f"other pairs reported: {len(others)}")
    for pair in others:
        say(f"  {pair.crop} of {pair.whole}, {[round(edge, 3) for edge in pair.box]}")


def time_set(pictures: Sequence[MeasuredPhotograph]) -> None:
    """Print how long the crops of a set take."""
    alike = alike_of(pictures)
    wall, processor = time.perf_counter(), time.process_time()
    reported = find_crops(pictures, alike)
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    n = len(pictures)
    say(f"{n} pictures: {wall:.2f} s, processor {processor:.2f} s, {len(reported)} pairs reported")


def say(line: str) -> None:
    """Print one line."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """Plant, measure, find, print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--sizes", type=int, nargs="*", default=[500])
    parser.add_argument("--both", action="store_true")
    given = parser.parse_args()
    rng = np.random.default_rng(given.seed)
    files = find_pictures(given.folder, leave_out=None).files
    with tempfile.TemporaryDirectory() as into:
        photographs, pairs = planted(given.folder, files, rng, Path(into), both=given.both)
    start = time.process_time()
    pictures = [measured(photograph) for photograph in photographs]
    each_ms = (time.process_time() - start) / len(pictures) * 1e3
    kept = [len(p.keypoints.points) + len(p.keypoints.lightness) for p in pictures]
    say(f"{len(pictures)} pictures, {each_ms:.0f} ms and {np.mean(kept) / 1e3:.1f} kB each")
    alike = alike_of(pictures)
    start = time.perf_counter()
    reported = find_crops(pictures, alike)
    say(f"crops of the set: {time.perf_counter() - start:.2f} s")
    report(reported, pairs, alike)
    cropped = frozenset().union(*pairs)
    others = [photograph for photograph in photographs if photograph.file not in cropped]
    larger = [(photograph, way) for way in WAYS[1:] for photograph in others]
    for size in sorted(given.sizes):
        missing = max(0, size - len(pictures))
        pictures += [measured(*one) for one in larger[:missing]]
        larger = larger[missing:]
        time_set(pictures[:size])


if __name__ == "__main__":
    main()

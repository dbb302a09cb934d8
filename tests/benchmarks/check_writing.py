"""Check borders and writing put onto photographs, and photographs without; run by hand.

Captions (corner, foot, across, slanted; two scripts or more; light and dark) and borders of 1 to 8
% of the shorter side are put onto photographs. Reported are how many are found, how often something
is found on photographs without, and how far the measurements move from those of the same picture
without its addition.

    python tests/benchmarks/check_writing.py FILES... --fonts latin=A.ttf,B.ttf cyrillic=C.ttf
        --lines latin=ONE|TWO cyrillic=THREE [--without FILES...] [--moves]

FILES are photographs without writing or border; take faces and lines that the network was not
trained on. With `--moves` every picture is measured twice more, which takes seconds each.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image, ImageDraw

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor import measure
from auditor.geometry import Box, Point, distance_fraction
from auditor.measurements.additions import Additions, measure_additions
from auditor.measurements.additions.training.drawn_writing import (
    DARK,
    LIGHT,
    Place,
    Script,
    as_jpeg,
    write,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.quantities import QUANTITIES
from auditor.series.colour.palette_distance import palette_distance

KINDS = (
    "corner", "border all round", "foot", "across", "border with line", "corner", "foot",
    "border at foot", "slanted", "border with round corners",
)  # fmt: skip
WIDTHS = (0.01, 0.08)  # of a border, relative to the shorter side
COLOURS = ((255, 255, 255), (0, 0, 0), (240, 236, 225), (40, 40, 40))
FOOT_TIMES = 2.0  # a border at the foot is wider than others
RADII = (0.02, 0.06)  # of rounded corners, relative to the shorter side
QUALITIES = (None, 95, 88)
LEAST_COVERED = 0.3  # share of the letters under the found mask from which writing is found
EDGE_TOLERANCE = 0.01  # of the frame: how near each edge of the picture must be found
SHARPEST_TOLERANCE = 0.08  # as of the subject


@dataclass(frozen=True)
class Added:
    """A picture with something put onto it, and the truth."""

    picture: Image.Image
    kind: str
    inside: Box
    coverage: np.ndarray | None
    words: str


def add(picture: Image.Image, number: int, scripts: dict[str, Script], seed: int) -> Added:
    """Put the addition whose turn it is onto a picture."""
    kind = KINDS[number % len(KINDS)]
    if kind.startswith("border"):
        return _bordered(picture, kind, seed)
    names: dict[str, Place] = {
        "corner": "corner", "foot": "foot", "across": "across", "slanted": "slanted"
    }  # fmt: skip
    # Each script and light and dark ink in turn.
    script = sorted(scripts)[number // len(KINDS) % len(scripts)]
    inks = (*(LIGHT, DARK)[number % 2], *(DARK, LIGHT)[number % 2][:1])
    done = write(picture, {script: scripts[script]}, seed, names[kind], inks)
    words = f"“{done.line}” {done.opacity} {done.ink}"
    return Added(done.picture, kind, Box(0, 0, 1, 1), done.coverage, words)


def _bordered(picture: Image.Image, kind: str, seed: int) -> Added:
    random = Random(seed)
    width = max(3, round(random.uniform(*WIDTHS) * min(picture.size)))
    colour = random.choice(COLOURS)
    sides = [width] * 4
    if kind == "border at foot":
        sides = [0, 0, 0, round(FOOT_TIMES * width)]
    left, top, right, bottom = sides
    size = (picture.width + left + right, picture.height + top + bottom)
    framed = Image.new("RGB", size, colour)
    mask = Image.new("L", picture.size, 255)
    if kind == "border with round corners":
        radius = 4 * random.uniform(*RADII) * min(picture.size)
        large = Image.new("L", (4 * picture.width, 4 * picture.height))
        box = (0, 0, large.width - 1, large.height - 1)
        ImageDraw.Draw(large).rounded_rectangle(box, radius, fill=255)
        mask = large.resize(picture.size, Image.Resampling.LANCZOS)
    framed.paste(picture, (left, top), mask)
    if kind == "border with line":
        line = (left - 1, top - 1, left + picture.width, top + picture.height)
        ink = tuple(255 - value for value in colour)
        ImageDraw.Draw(framed).rectangle(line, outline=ink, width=2)
    inside = Box(left / size[0], top / size[1], 1 - right / size[0], 1 - bottom / size[1])
    done = as_jpeg(framed, random.choice(QUALITIES))
    return Added(done, kind, inside, None, f"{width} px of {min(picture.size)}, {colour}")


def is_found(added: Added, found: Additions) -> bool:
    """Whether the addition was found where it is."""
    if added.coverage is not None:
        letters = added.coverage > 0.5
        covers = found.mask.shape == letters.shape and found.mask[letters].mean() > LEAST_COVERED
        return bool(found.writing and covers)
    if found.border is None or found.border.value is None:
        return False
    edges = zip(found.border.value.inside, added.inside, strict=True)
    return all(abs(one - other) <= EDGE_TOLERANCE for one, other in edges)


def moves(plain: MeasuredPhotograph, changed: MeasuredPhotograph, inside: Box) -> dict[str, float]:
    """How far measurements moved, in tolerances; infinite where one of the two has none."""
    frame = (changed.width, changed.height)

    def placed(point: Point) -> Point:
        return Point(
            inside.left + point.x * (inside.right - inside.left),
            inside.top + point.y * (inside.bottom - inside.top),
        )

    result = {"palette": palette_distance(plain.palette, changed.palette) / 12}
    for name, tolerance in (("subject", _tolerance("subject")), ("sharpest", SHARPEST_TOLERANCE)):
        one, other = (_point(name, picture) for picture in (plain, changed))
        if one is not None:
            result[name] = (
                np.inf
                if other is None
                else distance_fraction(placed(one), other, *frame) / tolerance
            )
    if plain.negative_space.value is not None:
        other_space = changed.negative_space.value
        result["empty space"] = (
            np.inf
            if other_space is None
            else abs(plain.negative_space.value.fraction - other_space.fraction)
            / _tolerance("negative_space")
        )
    return result


def _tolerance(name: str) -> float:
    rule = QUANTITIES[name].tolerance
    if rule is None:
        raise ValueError(name)
    return rule.default


def _point(name: str, picture: MeasuredPhotograph) -> Point | None:
    if name == "subject":
        return None if picture.subject.value is None else picture.subject.value.centroid
    return None if picture.focus.value is None else picture.focus.value.sharpest_at


def main() -> None:
    """Print what was found."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("pictures", type=Path, nargs="+")
    parser.add_argument("--fonts", nargs="+", required=True)
    parser.add_argument("--lines", nargs="+", required=True)
    parser.add_argument("--without", type=Path, nargs="*", default=[])
    parser.add_argument("--moves", action="store_true")
    parser.add_argument("--seed", type=int, default=0)
    given = parser.parse_args()
    lines = dict(entry.split("=", 1) for entry in given.lines)
    scripts = {
        name: Script([Path(file) for file in files.split(",")], lines[name].split("|"))
        for name, _, files in (entry.partition("=") for entry in given.fonts)
    }
    found: dict[str, list[bool]] = defaultdict(list)
    moved: dict[str, list[float]] = defaultdict(list)
    for number, path in enumerate(sorted(given.pictures)):
        with Image.open(path) as file:
            picture = file.convert("RGB")
        added = add(picture, number, scripts, given.seed + number)
        right = is_found(added, measure_additions(np.asarray(added.picture)))
        found[added.kind].append(right)
        if not right:
            _say(f"not found: {path.name}: {added.kind}, {added.words}")
        if given.moves:
            for name, far in _moved(picture, added).items():
                moved[name].append(far)
                if far > 1:
                    _say(f"moved: {path.name}: {added.kind}, found {right}: {name} {far:.1f}")
    every = [one for ones in found.values() for one in ones]
    _say(f"found {np.mean(every):.2f} of {len(every)}")
    for kind, ones in found.items():
        _say(f"  {kind}: {sum(ones)} of {len(ones)}")
    for name, far in moved.items():
        within = np.mean(np.array(far) <= 1)
        _say(f"{name}: {within:.2f} within the tolerance, median {np.median(far):.2f} tolerances")
    _without([*given.pictures, *given.without])


def _moved(picture: Image.Image, added: Added) -> dict[str, float]:
    with TemporaryDirectory() as folder:
        paths = [Path(folder) / name for name in ("plain.png", "added.png")]
        picture.save(paths[0])
        added.picture.save(paths[1])
        plain, changed = (measure(path) for path in paths)
    return moves(plain, changed, added.inside)


def _without(paths: list[Path]) -> None:
    """What is found on pictures without anything, by folder."""
    told: dict[str, list[str]] = defaultdict(list)
    counts: dict[str, int] = defaultdict(int)
    for path in paths:
        with Image.open(path) as file:
            additions = measure_additions(np.asarray(file.convert("RGB")))
        folder = path.parent.parent.name if path.parent.name == "images" else path.parent.name
        counts[folder] += 1
        if additions.border is not None:
            told[folder].append(f"{path.name} (border)")
        if additions.writing:
            told[folder].append(f"{path.name} (writing)")
    for folder, n in counts.items():
        named = ", ".join(told[folder])
        _say(f"without, {folder}: {len(told[folder])} of {n}{': ' if named else ''}{named}")


def _say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()

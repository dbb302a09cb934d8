"""Detection of odd colours, halved saturation and exposure changes on photographs; run by hand.

    python tests/benchmarks/check_series_colours.py PHOTOGRAPHS [CUTOUTS]

PHOTOGRAPHS is a folder of food photographs, each of which makes one set: parts of it, shifted
slightly in light and colour. CUTOUTS, foods on white, gives sets of randomly composed tables. In
every set of 8 to 40, some pictures in turn get a foreign colour over 8 % of the frame, or half the
saturation. Exposure is changed by -1.5 to +1 EV in linear light.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from skimage.color import deltaE_ciede2000

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.colorimetry import (
    lab_from_linear,
    lab_from_pixels,
    linear_from_srgb,
    srgb_from_linear,
)
from auditor.colour_signature import cells_of, colour_signature
from auditor.measurements.colour_temperature import measure_colour_temperature as temperature
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.palette import measure_colours
from auditor.measurements.tone import measure_tone
from auditor.series.series import describe_series
from tests.factories import measured_photograph

Pixels = NDArray[np.uint8]
FOREIGN_SHARE = 0.08
LEAST_DIFFERENCE = 25.0  # CIEDE2000 of a foreign colour from the colours of the set
CHANGED_PER_SET = 3


def say(line: str) -> None:
    sys.stdout.write(line + "\n")


def shown(linear: NDArray[np.floating]) -> Pixels:
    return np.rint(np.clip(srgb_from_linear(np.clip(linear, 0, 1)), 0, 1) * 255).astype(np.uint8)


def light_of(pixels: Pixels) -> NDArray[np.float64]:
    return linear_from_srgb(pixels / 255)


def parts_of(photograph: Path, n: int, rng: np.random.Generator) -> list[Pixels]:
    """Parts of one photograph, some mirrored, in slightly different light."""
    image = Image.open(photograph).convert("RGB")
    image.thumbnail((640, 640))
    found = []
    for _ in range(n):
        scale = rng.uniform(0.55, 0.95)
        width, height = int(image.width * scale), int(image.height * scale)
        left = rng.integers(image.width - width + 1)
        top = rng.integers(image.height - height + 1)
        part = image.crop((left, top, left + width, top + height))
        part.thumbnail((320, 320))
        pixels = np.asarray(part)[:, :: rng.choice([1, -1])]
        gain = 2 ** rng.normal(0, 0.08) * (1 + rng.normal(0, 0.01, 3))
        found.append(shown(light_of(pixels) * gain))
    return found


def tables(foods: list[Path], n: int, rng: np.random.Generator) -> list[Pixels]:
    """Tables with one surface and two kinds of crockery, with a few foods of one series."""
    ground = rng.uniform(0.08, 0.7) * np.array([1, 1 + rng.uniform(-0.15, 0.05), 1])
    ground[2] *= 1 + rng.uniform(-0.45, 0.1)
    plates = np.array([[1, 0.98, 0.93], 1 + rng.uniform(-0.3, 0.3, 3)])
    plates *= rng.uniform([[0.5], [0.05]], [[0.85], [0.5]])
    menu = rng.choice(len(foods), max(3, n // 3))
    return [_table(ground, plates, [foods[i] for i in menu], rng) for _ in range(n)]


def _table(
    ground: NDArray[np.float64],
    plates: NDArray[np.float64],
    menu: list[Path],
    rng: np.random.Generator,
) -> Pixels:
    height, width = 400, 320
    y, x = np.mgrid[:height, :width]
    fall = np.exp(
        rng.normal(0, 0.15) * (x / width - 0.5) + rng.normal(0, 0.15) * (y / height - 0.5)
    )
    light = ground * (fall * (1 + rng.normal(0, 0.04, fall.shape)))[..., np.newaxis]
    for nth in range(rng.integers(1, 5)):
        radius = rng.uniform(0.14, 0.28) * width if nth == 0 else rng.uniform(0.06, 0.14) * width
        cx, cy, flat = rng.uniform(0.2, 0.8) * width, rng.uniform(0.25, 0.8) * height, 0.8
        shadow = np.hypot(x - cx - 6, (y - cy - 8) / flat) < radius * 1.1
        dish = np.hypot(x - cx, (y - cy) / flat) < radius
        light[shadow] *= 0.6
        light[dish] = plates[0 if nth == 0 else rng.integers(2)]
        side = int(radius * 1.3)
        with Image.open(menu[int(rng.integers(len(menu)))]) as file:
            food = np.asarray(file.convert("RGB").resize((side, side)))
        rows = np.arange(int(cy - side / 2), int(cy - side / 2) + side).clip(0, height - 1)
        columns = np.arange(int(cx - side / 2), int(cx - side / 2) + side).clip(0, width - 1)
        there = food.min(axis=2) < 235
        place = np.ix_(rows, columns)
        light[place] = np.where(there[..., np.newaxis], light_of(food), light[place])
    grain = rng.normal(0, 3, (height, width, 3))
    pixels = shown(light * 2 ** rng.normal(0, 0.08) * (1 + rng.normal(0, 0.01, 3)))
    return np.clip(pixels + grain, 0, 255).astype(np.uint8)


def with_foreign(
    pictures: list[Pixels], place: int, rng: np.random.Generator
) -> tuple[Pixels, str] | None:
    """Add a colour that is not in the set over a part; None if no such colour is found."""
    seen = np.concatenate([lab_from_pixels(p[::12, ::12]).reshape(-1, 3) for p in pictures])
    for _ in range(60):
        colour = rng.integers(0, 256, 3)
        lab = lab_from_linear(light_of(colour.astype(np.uint8)))
        apart = deltaE_ciede2000(seen, lab[np.newaxis])
        if np.hypot(*lab[1:]) > 35 and np.quantile(apart, 0.005) > LEAST_DIFFERENCE:
            return _covered(pictures[place], colour, rng), "#{:02x}{:02x}{:02x}".format(*colour)
    return None


def _covered(pixels: Pixels, colour: NDArray[np.intp], rng: np.random.Generator) -> Pixels:
    height, width = pixels.shape[:2]
    tall = min(height, int(height * (FOREIGN_SHARE * rng.uniform(0.5, 2)) ** 0.5))
    wide = min(width, round(FOREIGN_SHARE * height * width / tall))
    top, left = rng.integers(height - tall + 1), rng.integers(width - wide + 1)
    covered = pixels.copy()
    patch = colour + rng.normal(0, 4, (tall, wide, 3))
    covered[top : top + tall, left : left + wide] = np.clip(patch, 0, 255)
    return covered


def paler(pixels: Pixels) -> Pixels:
    """Halve the distance of each pixel from the grey of its luminance."""
    light = light_of(pixels)
    grey = (light @ [0.2126, 0.7152, 0.0722])[..., np.newaxis]
    return shown((light + grey) / 2)


def measured(pixels: Pixels, name: str) -> MeasuredPhotograph:
    """The measurements of colour and tone of a picture."""
    height, width = pixels.shape[:2]
    nothing = np.zeros((height // 4, width // 4), dtype=np.bool_)
    colours = measure_colours(pixels, nothing, nothing)
    cells = cells_of(pixels, nothing)
    return measured_photograph(
        file=name,
        palette=colours.palette,
        saturation=colours.saturation,
        tone=measure_tone(pixels),
        colour_temperature=temperature(cells),
        colours=colour_signature(cells),
    )


def outliers(pictures: list[MeasuredPhotograph]) -> set[tuple[str, str]]:
    """File and quantity of each outlier."""
    return {
        (outlier.file, quantity.quantity)
        for quantity in describe_series(pictures).quantities
        for outlier in quantity.outliers
    }


def check_sets(name: str, sets: Iterator[list[Pixels]], rng: np.random.Generator) -> None:
    n: Counter[str] = Counter()
    alarms: Counter[str] = Counter()
    for pixels in sets:
        pictures = [measured(p, f"{i}.jpg") for i, p in enumerate(pixels)]
        alarms.update(quantity for _, quantity in outliers(pictures))
        n["pictures"] += len(pictures)
        for place in rng.choice(len(pictures), CHANGED_PER_SET, replace=False):
            file = f"{place}.jpg"
            others = [p for p in pictures if p.file != file]
            changed = with_foreign(pixels, place, rng)
            if changed is not None:
                flagged = outliers([*others, measured(changed[0], file)])
                n["foreign"] += 1
                n["foreign flagged"] += (file, "palette") in flagged
            flagged = outliers([*others, measured(paler(pixels[place]), file)])
            n["pale"] += 1
            n["pale flagged"] += (file, "saturation") in flagged
    say(f"{name}: {n['pictures']} untouched pictures, false alarms {dict(alarms)}")
    say(f"  foreign colour flagged {n['foreign flagged']} of {n['foreign']}")
    say(f"  halved saturation flagged {n['pale flagged']} of {n['pale']}")


def check_exposure(photographs: list[Path]) -> None:
    for shift in (-1.5, -1.0, -0.5, 0.5, 1.0):
        errors = []
        for photograph in photographs:
            image = Image.open(photograph).convert("RGB")
            image.thumbnail((512, 512))
            before = np.asarray(image)
            light = light_of(before) * 2**shift
            whole = light.max(axis=2) <= 1
            first, second = measure_tone(before), measure_tone(shown(light))
            # The pixels that stay unclipped, as a separate picture.
            kept = [measure_tone(p[whole][np.newaxis]) for p in (before, shown(light))]
            errors.append(
                [
                    kept[1].exposure_ev - kept[0].exposure_ev,
                    second.exposure_ev - first.exposure_ev,
                    second.midtone_ev - first.midtone_ev,
                ]
            )
        within = (np.abs(np.array(errors) - shift) <= 0.1).mean(axis=0)
        say(
            f"{shift:+.1f} EV within 0.1 EV: {within[0]:.1%} on pixels that stay unclipped; "
            f"with clipping {within[1]:.1%} (mean), {within[2]:.1%} (midtones)"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("photographs", type=Path)
    parser.add_argument("cutouts", type=Path, nargs="?")
    parser.add_argument("--sets", type=int, default=20)
    parser.add_argument("--seed", type=int, default=11)
    given = parser.parse_args()
    rng = np.random.default_rng(given.seed)
    photographs = sorted(given.photographs.rglob("*.jp*g"))
    chosen = rng.choice(len(photographs), min(given.sets, len(photographs)), replace=False)
    parts = (parts_of(photographs[i], int(rng.integers(8, 41)), rng) for i in chosen)
    check_sets("parts of photographs", parts, rng)
    if given.cutouts:
        foods = sorted(given.cutouts.glob("*.jpg"))
        composed = (tables(foods, int(rng.integers(8, 41)), rng) for _ in range(given.sets))
        check_sets("composed tables", composed, rng)
    check_exposure(photographs)


if __name__ == "__main__":
    main()

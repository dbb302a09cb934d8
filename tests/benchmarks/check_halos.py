"""Halos of sharpening on photographs as they are and after unsharp masking; run by hand.

``python tests/benchmarks/check_halos.py PHOTOGRAPHS`` measures every second photograph (those with
an odd place in the order of their names; ``development`` at the end takes the others) as it is,
saved again, and after Pillow's unsharp masking of several radii and strengths. It prints how large
the overshoot is, how many photographs have no value, and how many are above several limits: of the
photographs as they are these are false alarms, as far as nobody has sharpened them too much.
"""

from __future__ import annotations

import argparse
import io
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.delivery.halos import measure_halos

LIMITS = (0.05, 0.08, 0.10, 0.12, 0.15)
MASKS = ((1, 50), (1, 100), (1, 200), (2, 100), (2, 200), (1, 400))  # radius in px, per cent
Change = Callable[[Image.Image], Image.Image]


def say(text: str) -> None:
    sys.stdout.write(text + "\n")


def saved_again(image: Image.Image) -> Image.Image:
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=85)
    return Image.open(stream).convert("RGB")


def masked(radius: int, percent: int) -> Change:
    return lambda image: image.filter(ImageFilter.UnsharpMask(radius, percent, 0))


CHANGES: dict[str, Change] = {
    "as it is": lambda image: image,
    "saved again, quality 85": saved_again,
    **{f"radius {radius} px, {percent} %": masked(radius, percent) for radius, percent in MASKS},
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path)
    parser.add_argument("half", nargs="?", choices=["checking", "development"], default="checking")
    arguments = parser.parse_args()
    files = sorted(arguments.photographs.glob("*.jpg"))[arguments.half == "checking" :: 2]
    found: dict[str, list[float]] = {name: [] for name in CHANGES}
    for file in files:
        image = Image.open(file).convert("RGB")
        for name, change in CHANGES.items():
            halos = measure_halos(np.asarray(change(image)))
            found[name].append(np.nan if halos is None else halos)
    say(f"{len(files)} photographs; above {', '.join(f'{limit:.0%}' for limit in LIMITS)}")
    for name, values in found.items():
        known = np.array(values)[~np.isnan(values)]
        middle, most = np.percentile(known, [50, 95])
        above = " ".join(f"{int((known > limit).sum()):3d}" for limit in LIMITS)
        say(
            f"{name:26} {known.size:3d} with a value, half {middle:.3f}, 19 of 20 {most:.3f}: "
            f"{above}"
        )
    moved = np.abs(np.subtract(found["saved again, quality 85"], found["as it is"]))
    say(f"saved again: 19 of 20 change by at most {np.nanpercentile(moved, 95):.3f}")


if __name__ == "__main__":
    main()

"""JPEGs that lost a part of their data, and whole ones, looked at for made-up rows; run by hand.

``python tests/benchmarks/check_undecoded.py PHOTOGRAPHS...`` takes all JPEGs in some folders. It
counts the whole ones in which made-up rows are found (false alarms), then takes 5 to 30 per cent of
the coded data away at a random place of each and counts in how many it is found, of those that the
decoder does not refuse by itself.
"""

from __future__ import annotations

import argparse
import io
import sys
import time
from pathlib import Path

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from auditor.photograph.undecoded import undecoded_fraction

SHARES_LOST = (0.05, 0.3)
START_OF_SCAN = b"\xff\xda"
SCAN_HEAD_BYTES = 40  # is kept, so that the decoder begins at all


def say(text: str) -> None:
    sys.stdout.write(text + "\n")


def fraction_of(data: bytes) -> float | None:
    """The share found; None if the decoder refuses the file."""
    try:
        with Image.open(io.BytesIO(data)) as image:
            image.load()
            return undecoded_fraction(image)
    except (OSError, ValueError):
        return None


def with_loss(data: bytes, random: np.random.Generator) -> bytes:
    start = data.rindex(START_OF_SCAN) + SCAN_HEAD_BYTES
    length = len(data) - start
    begin = start + int(random.uniform(0, 1 - SHARES_LOST[1]) * length)
    return data[:begin] + data[begin + int(random.uniform(*SHARES_LOST) * length) :]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photographs", type=Path, nargs="+")
    folders = parser.parse_args().photographs
    files = sorted(path for folder in folders for path in folder.rglob("*.jpg"))
    random = np.random.default_rng(0)
    whole, damaged = [], []
    for file in files:
        data = file.read_bytes()
        whole.append(fraction_of(data))
        damaged.append(fraction_of(with_loss(data, random)))
    alarms = [str(file) for file, found in zip(files, whole, strict=True) if found]
    say(f"{len(files)} whole, false alarms: {len(alarms)} {' '.join(alarms)}")
    decoded = [found for found in damaged if found is not None]
    say(f"damaged and decoded: {len(decoded)}, found: {sum(found > 0 for found in decoded)}")
    with Image.open(files[0]) as image:
        image.load()
        before = time.process_time()
        undecoded_fraction(image)
        say(f"cost, {image.width} by {image.height}: {time.process_time() - before:.4f} s")


if __name__ == "__main__":
    main()

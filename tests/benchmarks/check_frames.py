"""Check which frames of drawn pages are found, on pages with their truth.

``python -m tests.benchmarks.check_frames FOLDER [FOLDER ...]``; the pages come from
``python -m fixtures.sketching pages``. A page is right if as many frames are found as were drawn,
in reading order, each corner within 3 % of the frame's long side.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path

import numpy as np

from auditor.errors import NoSketchError
from auditor.sketch.reading import frames_of

CORNER_SHARE = 0.03


def main() -> None:
    """Print one line for each page that is wrong, and one for each folder."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    for folder in parser.parse_args().folders:
        truths = sorted(folder.glob("*.json"))
        seconds, n_right = [], 0
        for truth in truths:
            start = time.process_time()
            said = _fault(truth)
            seconds.append(time.process_time() - start)
            n_right += not said
            if said:
                sys.stdout.write(f"{truth.stem}: {said}\n")
        usual, most = np.median(seconds), max(seconds)
        sys.stdout.write(
            f"{folder}: {n_right} of {len(truths)} right; CPU {usual:.2f} s, most {most:.2f} s\n"
        )


def _fault(truth: Path) -> str:
    """What is wrong with the frames found on a page; empty if nothing."""
    described = json.loads(truth.read_text(encoding="utf-8"))
    drawn = [np.array(frame["corners"]) for frame in described["frames"]]
    try:
        found = [frame.corners for frame in frames_of(truth.parent / described["file"])]
    except NoSketchError as error:
        return "" if not drawn else f"{len(drawn)} drawn, none found: {str(error)[-60:]}"
    if len(found) != len(drawn):
        return f"{len(drawn)} drawn, {len(found)} found ({described['paper']})"
    worst = max(map(_off, found, drawn), default=0.0)
    return f"a corner is off by {worst:.3f}" if worst > CORNER_SHARE else ""


def _off(found: np.ndarray, true: np.ndarray) -> float:
    """Largest distance of corners, as a share of the frame's long side."""
    long_side = np.hypot(*(np.roll(true, -1, axis=0) - true).T).max()
    return float(np.hypot(*(found - true).T).max() / long_side)


if __name__ == "__main__":
    main()

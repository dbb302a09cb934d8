"""Train: ``python -m auditor.sketch.training STROKES OUT --seconds 480``."""

from __future__ import annotations

import argparse
from pathlib import Path

from auditor.sketch.training.train import train


def main() -> None:
    """Read the arguments and train."""
    parser = argparse.ArgumentParser(prog="python -m auditor.sketch.training", description=__doc__)
    parser.add_argument("strokes", help="the folder of hand-drawn strokes")
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=480.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--start", type=Path, help="network.pt of an earlier run")
    given = parser.parse_args()
    train(given.strokes, given.out, given.seconds, given.seed, given.start)


if __name__ == "__main__":
    main()

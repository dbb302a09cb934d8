"""Train the network.

``python -m auditor.saliency.training DATA MARKS ENCODER OUT --seconds 540``
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from auditor.saliency.training.train import TrainingOptions, train
from auditor.saliency.training.training_data import Sources


def main() -> None:
    """Train on the pictures in DATA, starting from ENCODER, and write the weights into OUT."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("data", type=Path, help="folder with cutouts/, food/, tables/ and objects/")
    parser.add_argument("marks", type=Path, help="outlines of the things on food/, JSON")
    parser.add_argument("encoder", type=Path, help="weights of EfficientNet-Lite0, a .pth file")
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=540.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--start", type=Path, help="network.pt of an earlier run to continue")
    parser.add_argument("--without-objects", action="store_true", help="no objects of other kinds")
    parser.add_argument("--workers", type=int, default=0, help="processes that make composites")
    arguments = parser.parse_args()
    arguments.out.mkdir(parents=True, exist_ok=True)
    train(
        TrainingOptions(
            Sources(arguments.data, arguments.marks, with_objects=not arguments.without_objects),
            arguments.out,
            arguments.seconds,
            arguments.seed,
            arguments.encoder,
            arguments.start,
            arguments.workers,
        ),
        _report,
    )


def _report(text: str) -> None:
    sys.stderr.write(text + "\n")


if __name__ == "__main__":
    main()

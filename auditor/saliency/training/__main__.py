"""Train the network: ``python -m auditor.saliency.training DATA ENCODER OUT --seconds 540``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from auditor.saliency.training.train import TrainingOptions, train


def main() -> None:
    """Train on the pictures in DATA, starting from ENCODER, and write the weights into OUT."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("data", type=Path, help="folder with salient/, coco/, cutouts/ and tables/")
    parser.add_argument("encoder", type=Path, help="weights of EfficientNet-Lite0, a .pth file")
    parser.add_argument("out", type=Path)
    parser.add_argument("--seconds", type=float, default=540.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--start", type=Path, help="network.pt of an earlier run to continue")
    parser.add_argument(
        "--with-validation", action="store_true", help="train on the validation pictures too"
    )
    arguments = parser.parse_args()
    arguments.out.mkdir(parents=True, exist_ok=True)
    train(TrainingOptions(**vars(arguments)), _report)


def _report(text: str) -> None:
    sys.stderr.write(text + "\n")


if __name__ == "__main__":
    main()

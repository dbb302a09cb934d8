"""Train the networks and report their errors on pictures that were not used in training."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch

from auditor.measurements.colour_temperature.colour_histograms import WARMTH_BIN_MIRED
from auditor.measurements.colour_temperature.training.network import NeutralNetwork
from auditor.measurements.colour_temperature.training.train import (
    Source,
    TrainingSet,
    train,
    warped,
)
from auditor.measurements.colour_temperature.training.training_pictures import (
    TrainingPicture,
    photographs,
    tables,
)

# Sampling weight, and standard deviation of the target in bins. No source.
TABLE_WEIGHT, TABLE_DEVIATION_BINS = 1.0, 0.6
DISH_WEIGHT, DISH_DEVIATION_BINS = 3.0, 1.5  # by many photographers; no balance is exact
OTHER_WEIGHT, OTHER_DEVIATION_BINS = 0.5, 2.0

STRONG_CAST_MIRED = 25
"""Cast above which warm or cool should be recognised: common practice, no source."""

BATCH = 256
"""Pictures evaluated at once."""


def main() -> None:
    """Read the training pictures, train, write ``neutral_networks.npz``."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--tables", type=Path, nargs="+", required=True)
    parser.add_argument(
        "--dishes", type=Path, nargs="*", default=[],
        help="every second picture is used for training, the others for evaluation",
    )  # fmt: skip
    parser.add_argument("--photographs", type=Path, nargs="*", default=[])
    parser.add_argument(
        "--unseen", type=Path, nargs="*", default=[], help="tables for evaluation only"
    )
    given = parser.parse_args()
    sources = [
        Source([t for f in given.tables for t in tables(f)], TABLE_WEIGHT, TABLE_DEVIATION_BINS),
        Source([t for f in given.dishes for t in photographs(f, slice(0, None, 2))],
               DISH_WEIGHT, DISH_DEVIATION_BINS),
        Source([t for f in given.photographs for t in photographs(f, slice(None))],
               OTHER_WEIGHT, OTHER_DEVIATION_BINS),
    ]  # fmt: skip
    _report("training pictures: " + ", ".join(str(len(s.pictures)) for s in sources))
    torch.manual_seed(1)
    training_set = TrainingSet(sources, "cuda" if torch.cuda.is_available() else "cpu")
    weights: dict[str, Any] = {}  # typed Any because np.savez has keyword options of its own
    for number, varied in enumerate((False, True)):
        network = train(training_set, _report, varied=varied)
        weights |= {f"{number}.{name}": w for name, w in network.numpy_weights().items()}
        for folder in given.unseen:
            _report(f"{folder}: {_errors(network, tables(folder))}")
        for folder in given.dishes:
            odd = photographs(folder, slice(1, None, 2))
            _report(f"{folder}, pictures not used in training: {_errors(network, odd)}")
    given.out.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(given.out / "neutral_networks.npz", **weights)


def _errors(network: NeutralNetwork, pictures: Sequence[TrainingPicture]) -> str:
    """Describe the errors in mired on pictures without and with a cast."""
    device = network.scores.weight.device
    histograms = torch.tensor(np.stack([p.histograms for p in pictures]), device=device)
    with torch.no_grad():
        unshifted = torch.zeros(len(histograms), 2, device=device)
        pairs = zip(histograms.split(BATCH), unshifted.split(BATCH), strict=True)
        parts = [network(warped(part, zeros, zeros)) for part, zeros in pairs]
    probability = torch.softmax(torch.cat(parts).flatten(1), dim=1).cpu().numpy()
    rows = probability.reshape(len(pictures), *parts[0].shape[1:]).sum(axis=2).cumsum(axis=1)
    middle = rows.shape[1] // 2
    found = np.array([np.interp(0.5, row, np.arange(len(row)) - middle + 0.5) for row in rows])
    true = np.array([picture.neutral[0] for picture in pictures])
    error, true = np.abs(found - true) * WARMTH_BIN_MIRED, true * WARMTH_BIN_MIRED
    strong = np.abs(true) > STRONG_CAST_MIRED
    right = np.mean(np.sign(found[strong]) == np.sign(true[strong]))
    return (
        f"median error {np.median(error[true == 0]):.1f} mired on {np.sum(true == 0)} neutral, "
        f"{np.median(error[true != 0]):.1f} on {np.sum(true != 0)} with a cast; "
        f"warm or cool right on {right:.3f} of {strong.sum()} beyond {STRONG_CAST_MIRED}"
    )


def _report(text: str) -> None:
    sys.stderr.write(text + "\n")


if __name__ == "__main__":
    main()

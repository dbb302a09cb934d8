"""Teach the networks and tell what they answer on pictures that they did not see."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch

from auditor.measurements.colour_temperature.colour_histograms import WARMTH_BIN_MIRED
from auditor.measurements.colour_temperature.training.learning import Class, Stock, learn, moved
from auditor.measurements.colour_temperature.training.network import NeutralNetwork
from auditor.measurements.colour_temperature.training.teachers import (
    Teacher,
    photographs,
    tables,
)

TABLE_WEIGHT, TABLE_DOUBT_BINS = 1.0, 0.6
DISH_WEIGHT, DISH_DOUBT_BINS = 3.0, 1.5  # finished by many hands; each a little off
OTHER_WEIGHT, OTHER_DOUBT_BINS = 0.5, 2.0


def main() -> None:
    """Read the teachers, learn, write ``neutral_networks.npz``."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--tables", type=Path, nargs="+", required=True)
    parser.add_argument("--dishes", type=Path, nargs="*", default=[], help="even places teach")
    parser.add_argument("--photographs", type=Path, nargs="*", default=[])
    parser.add_argument("--unseen", type=Path, nargs="*", default=[], help="tables to be asked of")
    given = parser.parse_args()
    classes = [
        Class([t for f in given.tables for t in tables(f)], TABLE_WEIGHT, TABLE_DOUBT_BINS),
        Class([t for f in given.dishes for t in photographs(f, slice(0, None, 2))],
              DISH_WEIGHT, DISH_DOUBT_BINS),
        Class([t for f in given.photographs for t in photographs(f, slice(None))],
              OTHER_WEIGHT, OTHER_DOUBT_BINS),
    ]  # fmt: skip
    _say("teachers: " + ", ".join(str(len(c.teachers)) for c in classes))
    torch.manual_seed(1)
    stock = Stock(classes, "cuda" if torch.cuda.is_available() else "cpu")
    weights: dict[str, Any] = {}  # arrays; NumPy's types take the names for options of its own
    for number, varied in enumerate((False, True)):
        network = learn(stock, _say, varied=varied)
        weights |= {f"{number}.{name}": w for name, w in network.plain_weights().items()}
        for folder in given.unseen:
            _say(f"{folder}: {_asked(network, tables(folder))}")
        for folder in given.dishes:
            odd = photographs(folder, slice(1, None, 2))
            _say(f"{folder}, odd places: {_asked(network, odd)}")
    given.out.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(given.out / "neutral_networks.npz", **weights)


def _asked(network: NeutralNetwork, teachers: Sequence[Teacher]) -> str:
    """How far the answers are off, in mired, of pictures without and with a cast."""
    device = network.scores.weight.device
    histograms = torch.tensor(np.stack([t.histograms for t in teachers]), device=device)
    with torch.no_grad():
        nowhere = torch.zeros(len(histograms), 2, device=device)
        pairs = zip(histograms.split(256), nowhere.split(256), strict=True)
        parts = [network(moved(part, zeros, zeros)) for part, zeros in pairs]
    likely = torch.softmax(torch.cat(parts).flatten(1), dim=1).cpu().numpy()
    rows = likely.reshape(len(teachers), *parts[0].shape[1:]).sum(axis=2).cumsum(axis=1)
    middle = rows.shape[1] // 2
    told = np.array([np.interp(0.5, row, np.arange(len(row)) - middle + 0.5) for row in rows])
    true = np.array([teacher.neutral[0] for teacher in teachers])
    off, true = np.abs(told - true) * WARMTH_BIN_MIRED, true * WARMTH_BIN_MIRED
    strong = np.abs(true) > 25
    right = np.mean(np.sign(told[strong]) == np.sign(true[strong]))
    return (
        f"median {np.median(off[true == 0]):.1f} mired of {np.sum(true == 0)} neutral, "
        f"{np.median(off[true != 0]):.1f} of {np.sum(true != 0)} cast; "
        f"warm or cool right on {right:.3f} of {strong.sum()} beyond 25"
    )


def _say(text: str) -> None:
    sys.stderr.write(text + "\n")


if __name__ == "__main__":
    main()

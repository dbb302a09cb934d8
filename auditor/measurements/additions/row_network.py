"""How probable it is that a row was written onto the picture.

A network with one hidden layer on the numbers of `row_features`. It learned from photographs in the
public domain with drawn writing, and from labels drawn into the scene (`training`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from importlib.resources import files
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

LIMIT = 4.0
"""Largest standardised number; what lies farther from the examples is taken for that."""


def log_odds_of_writing(features: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Logarithms of the odds that rows are writing, (N,), of (N, F) features.

    The odds are those of the examples in training; `writing` has the threshold.
    """
    if not features:
        return np.zeros(0)
    part = _weights()
    seen = np.clip((np.array(features) - part["centre"]) / part["scale"], -LIMIT, LIMIT)
    hidden = np.tanh(seen @ part["inner"] + part["inner_bias"])
    odds: NDArray[np.float64] = hidden @ part["outer"] + part["outer_bias"]
    return odds


@lru_cache(maxsize=1)
def _weights() -> dict[str, NDArray[np.float64]]:
    stored = files(__package__).joinpath("row_network.npz").read_bytes()
    with np.load(BytesIO(stored), allow_pickle=False) as arrays:
        return {name: arrays[name].astype(np.float64) for name in arrays.files}

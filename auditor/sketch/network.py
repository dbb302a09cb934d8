"""Small networks with one hidden layer, stored beside this module; `MODEL.md` is their card."""

from __future__ import annotations

from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MOST_LOGIT = 50.0  # farther from 0 the probability does not change


def chance_of(name: str, features: Floats) -> Floats:
    """The probability that a network gives each row of features.

    Parameters
    ----------
    name : str
        Its file.
    features : (N, F) float array
    """
    net = _stored(name)
    hidden = (features - net["mean"]) / net["spread"] @ net["hidden"] + net["hidden_bias"]
    logit = np.maximum(hidden, 0) @ net["out"] + net["out_bias"]
    return np.asarray(1 / (1 + np.exp(-np.clip(logit, -MOST_LOGIT, MOST_LOGIT))))


@cache
def _stored(name: str) -> dict[str, Floats]:
    path = resources.files("auditor.sketch") / name
    with resources.as_file(path) as file, np.load(file, allow_pickle=False) as stored:
        return {key: stored[key].astype(np.float64) for key in stored.files}

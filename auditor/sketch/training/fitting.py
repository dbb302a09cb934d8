"""A network with one hidden layer, fitted by Adam (Kingma, Ba 2015) in plain numpy."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float32]

BATCH, RATE, LAST_RATE = 256, 3e-3, 1e-4
MEAN_DECAY, SQUARE_DECAY, TINY = 0.9, 0.999, 1e-8
NOISE = 0.1  # added to the normalised features, so that none counts alone


def fit(
    features: NDArray[np.float64],
    is_one: NDArray[np.float64],
    weights: NDArray[np.float64],
    *,
    n_hidden: int,
    n_rounds: int,
    decay: float,
    seed: int,
) -> dict[str, Array]:
    """Weights by name, as `auditor.sketch.network` reads them.

    Parameters
    ----------
    features : (N, F) float array
    is_one, weights : (N,) float array
        The answer, 0 or 1, and how much it counts.
    """
    rng = np.random.default_rng(seed)
    mean, spread = features.mean(axis=0), features.std(axis=0) + 0.05
    x = ((features - mean) / spread).astype(np.float32)
    y, w = is_one.astype(np.float32), weights.astype(np.float32)
    net = {
        "hidden": rng.normal(0, 0.05, (x.shape[1], n_hidden)).astype(np.float32),
        "hidden_bias": np.zeros(n_hidden, dtype=np.float32),
        "out": rng.normal(0, 0.2, n_hidden).astype(np.float32),
        "out_bias": np.zeros(1, dtype=np.float32),
    }
    means = {key: np.zeros_like(value) for key, value in net.items()}
    squares = {key: np.zeros_like(value) for key, value in net.items()}
    step = 0
    for turn in range(n_rounds):
        rate = RATE * (1 - turn / n_rounds) + LAST_RATE
        for batch in np.array_split(rng.permutation(len(x)), max(1, len(x) // BATCH)):
            noise = rng.normal(0, NOISE, (len(batch), x.shape[1])).astype(np.float32)
            slopes = _slopes(net, x[batch] + noise, y[batch], w[batch], decay)
            step += 1
            for key, slope in slopes.items():
                means[key] += (1 - MEAN_DECAY) * (slope - means[key])
                squares[key] += (1 - SQUARE_DECAY) * (slope**2 - squares[key])
                mean_now = means[key] / (1 - MEAN_DECAY**step)
                square_now = squares[key] / (1 - SQUARE_DECAY**step)
                change = rate * mean_now / (np.sqrt(square_now) + TINY)
                net[key] = (net[key] - change).astype(np.float32)
    return {"mean": mean.astype(np.float32), "spread": spread.astype(np.float32), **net}


def _slopes(net: dict[str, Array], x: Array, y: Array, w: Array, decay: float) -> dict[str, Array]:
    """Gradient of the weighted cross-entropy with weight decay."""
    hidden = np.maximum(x @ net["hidden"] + net["hidden_bias"], 0)
    logit = np.clip(hidden @ net["out"] + net["out_bias"], -30, 30)
    error = (1 / (1 + np.exp(-logit)) - y) * w / len(y)
    back = np.outer(error, net["out"]) * (hidden > 0)
    return {
        "hidden": x.T @ back + decay * net["hidden"],
        "hidden_bias": back.sum(axis=0),
        "out": hidden.T @ error + decay * net["out"],
        "out_bias": error.sum(keepdims=True),
    }


def save(net: dict[str, Array], path: Path) -> None:
    """Store a network; the large matrix in half precision."""
    stored = {**net, "hidden": net["hidden"].astype(np.float16)}
    np.savez_compressed(path, **stored)  # type: ignore[arg-type]  # numpy's stub has one keyword

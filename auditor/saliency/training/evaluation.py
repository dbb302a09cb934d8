"""How good a network is on pictures with known subjects."""

from __future__ import annotations

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn
from torch.nn import functional

BETA_SQUARED = 0.3  # of the F-measure (Achanta and others 2009), at twice the map's mean


def evaluate(
    network: nn.Module,
    pictures: NDArray[np.uint8],
    masks: NDArray[np.uint8],
    device: torch.device,
) -> dict[str, float]:
    """Mean centroid error (square frame), F-measure and mean absolute error of the subject map.

    Parameters
    ----------
    pictures : (n, h, w, 3) uint8 array
    masks : (n, h, w) uint8 array
        0 to 255.
    """
    was_training = network.training
    network.eval()
    maps = []
    with torch.no_grad():
        for start in range(0, len(pictures), 50):
            batch = torch.from_numpy(pictures[start : start + 50]).to(device)
            logits = network(batch.permute(0, 3, 1, 2).float() / 255)[0][:, :1]
            full = functional.interpolate(logits, size=masks.shape[1:], mode="bilinear")
            maps.append(torch.sigmoid(full)[:, 0].cpu().numpy())
    network.train(was_training)
    return figures(np.concatenate(maps), masks > 127)


def figures(maps: NDArray[np.floating], truths: NDArray[np.bool_]) -> dict[str, float]:
    """The same for maps that are there already: (n, h, w) in [0, 1] and (n, h, w) bool."""
    errors = [_distance(found, truth) for found, truth in zip(maps, truths, strict=True)]
    scores = [_f_measure(found, truth) for found, truth in zip(maps, truths, strict=True)]
    return {
        "centroid_mean": float(np.mean(errors)),
        "centroid_median": float(np.median(errors)),
        "f_measure": float(np.mean(scores)),
        "mean_absolute_error": float(np.abs(maps - truths).mean()),
    }


def _distance(found: NDArray[np.floating], truth: NDArray[np.bool_]) -> float:
    a, b = _centroid(found * (found > 0.5 * found.max())), _centroid(truth.astype(float))
    return float(np.hypot(*(a - b)) / np.sqrt(2))


def _centroid(weights: NDArray[np.floating]) -> NDArray[np.float64]:
    h, w = weights.shape
    total = weights.sum() + 1e-9
    down = ((np.arange(h) + 0.5) / h * weights.sum(axis=1)).sum() / total
    across = ((np.arange(w) + 0.5) / w * weights.sum(axis=0)).sum() / total
    return np.array([across, down])


def _f_measure(found: NDArray[np.floating], truth: NDArray[np.bool_]) -> float:
    chosen = found >= min(2 * found.mean(), 0.95 * found.max())
    hits = float((chosen & truth).sum())
    precision, recall = hits / max(1, chosen.sum()), hits / max(1, truth.sum())
    if hits == 0:
        return 0.0
    return (1 + BETA_SQUARED) * precision * recall / (BETA_SQUARED * precision + recall)

"""Evaluate a network on pictures with known subjects."""

from __future__ import annotations

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn
from torch.nn import functional

from auditor.saliency.training.scores import figures


def evaluate(
    network: nn.Module,
    pictures: NDArray[np.uint8],
    masks: NDArray[np.uint8],
    device: torch.device,
) -> dict[str, float]:
    """Compute `scores.figures` for the subject map, in the square frame.

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
    return figures(list(np.concatenate(maps)), list(masks > 127))

"""Gradients of a reduced picture, in integers: fast, and exactly mirrored for a mirror image."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# Binomial weights 1 4 6 4 1 have a standard deviation of 1 px: grain and JPEG blocks vanish, edges
# 3 px apart remain separate.
N_PAIRINGS = 4
# Smoothing multiplies values by 16 along each axis, so that they just fit into 16 bits. They are
# halved so that the central difference, which spans 2 px, fits with its sign.
GRADIENT_SCALE = 255 * 4**N_PAIRINGS


@dataclass(frozen=True, slots=True)
class Gradients:
    """Gradient of each pixel, in the channel in which it is steepest.

    Attributes
    ----------
    across, down : (H, W) int16 array
        To the right and downwards; `GRADIENT_SCALE` is the full scale in one px.
    """

    across: NDArray[np.int16]
    down: NDArray[np.int16]


def gradients(pixels: NDArray[np.uint8]) -> Gradients:
    """Smooth (H, W, 3) uint8 pixels and take central differences; 0 along the frame's edge."""
    planes = np.moveaxis(pixels, -1, 0).astype(np.uint16, order="C")
    margin = N_PAIRINGS // 2
    smooth = np.pad(planes, ((0, 0), (margin, margin), (margin, margin)), mode="edge")
    for _ in range(N_PAIRINGS):
        smooth = smooth[:, 1:] + smooth[:, :-1]
    for _ in range(N_PAIRINGS):
        smooth = smooth[:, :, 1:] + smooth[:, :, :-1]
    halved = (smooth >> 1).astype(np.int16)
    across, down = np.zeros_like(halved), np.zeros_like(halved)
    across[:, :, 1:-1] = halved[:, :, 2:] - halved[:, :, :-2]
    down[:, 1:-1] = halved[:, 2:] - halved[:, :-2]
    return _steepest(across, down)


def _steepest(across: NDArray[np.int16], down: NDArray[np.int16]) -> Gradients:
    """Steepest of the channels (C, H, W); at an edge all agree in direction, so any norm works."""
    steepness = np.abs(across).astype(np.uint16) + np.abs(down).astype(np.uint16)
    best_across, best_down, best = across[0], down[0], steepness[0]
    for own_across, own_down, own in zip(across[1:], down[1:], steepness[1:], strict=True):
        # All bits set where this channel is steeper: ten times as fast as a masked copy.
        steeper = -(own > best).astype(np.int16)
        best_across = best_across ^ ((best_across ^ own_across) & steeper)
        best_down = best_down ^ ((best_down ^ own_down) & steeper)
        best = np.maximum(best, own)
    return Gradients(best_across, best_down)

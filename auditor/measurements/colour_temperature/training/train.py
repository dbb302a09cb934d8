"""Training loop and data augmentation: simulated casts, blended pictures, varied colours."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import torch
from torch.nn import functional

from auditor.measurements.colour_temperature.colour_histograms import (
    N_DUV_BINS,
    N_KINDS,
    N_WARMTH_BINS,
    WARMTH_BIN_MIRED,
)
from auditor.measurements.colour_temperature.training.network import NeutralNetwork
from auditor.measurements.colour_temperature.training.training_pictures import (
    MARGIN,
    TrainingPicture,
)

BATCH = 96
N_EPOCHS = 60
LEARNING_RATE, WEIGHT_DECAY = 3e-3, 1e-2
NARROW_CAST_MIRED, WIDE_CAST_MIRED = 12.0, 80.0
NARROW_SHARE = 0.5
"""A share of `NARROW_SHARE` of the casts is normal with the first standard deviation, like those of
finished pictures; the others are uniform up to the second."""

TINT_BINS = 0.5  # standard deviation of simulated Duv
BLENDED_SHARE, MAX_BLEND = 0.4, 0.5
"""Share of pictures blended with a second picture, and largest weight of the second."""

STRETCH_RANGE, TURN_DEG = (0.85, 1.9), 25.0
"""Variation of colours: range of the factors that stretch the two axes about the neutral, and
standard deviation of the rotation about it. This simulates other glazes and surfaces."""

N_HOLES, HOLE_RADII_BINS = 4, (1.5, 6.0)
"""Most round holes in the varied histograms, and range of their radii. This simulates missing
things."""

HOLE_PROBABILITY = 0.5  # of each hole

OWN_CAST_BINS = 1.0  # distance of the neutral from D65 above which a picture has a cast of its own

KIND_GAIN = 0.2  # standard deviation of the logarithm of the gain of each kind of histogram


@dataclass(frozen=True, slots=True)
class Source:
    """Training pictures of one origin.

    Attributes
    ----------
    pictures : sequence of TrainingPicture
    weight : float
        Sampling weight of each picture.
    deviation_bins : float
        Standard deviation of the target about the neutral, in bins.
    """

    pictures: Sequence[TrainingPicture]
    weight: float
    deviation_bins: float


class TrainingSet:
    """All training pictures on one device, to draw batches from."""

    def __init__(self, sources: Sequence[Source], device: str) -> None:
        every = [(p, s) for s in sources for p in s.pictures]
        stacked = np.stack([p.histograms for p, _ in every])
        self.histograms = torch.tensor(stacked, device=device)
        self.neutral = torch.tensor(np.stack([p.neutral for p, _ in every]), device=device).float()
        self.deviation = torch.tensor([s.deviation_bins for _, s in every], device=device)
        self.weight = torch.tensor([s.weight for _, s in every], device=device)

    def __len__(self) -> int:
        return len(self.weight)

    def batch(self, *, varied: bool) -> tuple[torch.Tensor, torch.Tensor]:
        """Draw histograms under random casts, and their target probabilities.

        If ``varied``, the colours of each picture are stretched and rotated, and some removed.
        """
        first = torch.multinomial(self.weight, BATCH, replacement=True)
        second = torch.multinomial(self.weight, BATCH, replacement=True)
        device = self.weight.device
        narrow = NARROW_CAST_MIRED * torch.randn(BATCH, device=device)
        wide = WIDE_CAST_MIRED * (2 * torch.rand(BATCH, device=device) - 1)
        mired = torch.where(torch.rand(BATCH, device=device) < NARROW_SHARE, narrow, wide)
        tint = TINT_BINS * torch.randn(BATCH, device=device)
        cast = torch.stack([mired / WARMTH_BIN_MIRED, tint], dim=1)
        # A picture that has a cast of its own keeps it, so that no colour leaves the plane.
        has_own = self.neutral[first].abs() > OWN_CAST_BINS
        position = torch.where(has_own, self.neutral[first], cast)
        share = MAX_BLEND * torch.rand(BATCH, device=device)
        share *= torch.rand(BATCH, device=device) < BLENDED_SHARE
        share = share[:, None, None, None]
        histograms = (1 - share) * self._with_neutral_at(first, position, varied=varied)
        histograms = histograms + share * self._with_neutral_at(second, position, varied=varied)
        if varied:
            histograms = histograms * _random_holes(position.device)
        gain = KIND_GAIN * torch.randn(BATCH, N_KINDS, 1, 1, device=device)
        return histograms * torch.exp(gain), targets(position, self.deviation[first])

    def _with_neutral_at(
        self, chosen: torch.Tensor, position: torch.Tensor, *, varied: bool
    ) -> torch.Tensor:
        """Histograms of pictures with their neutral shifted to a position."""
        inverse = _random_colour_changes(position) if varied else None
        return warped(self.histograms[chosen], position, self.neutral[chosen], inverse)


def warped(
    histograms: torch.Tensor,
    position: torch.Tensor,
    neutral: torch.Tensor,
    inverse: torch.Tensor | None = None,
) -> torch.Tensor:
    """Warp histograms so that their neutral comes to a position, and cut off the margin.

    Parameters
    ----------
    histograms : (n, kinds, rows, columns) tensor
    position, neutral : (n, 2) tensor
        New and old position of the neutral, in bins from the middle.
    inverse : (n, 2, 2) tensor or None
        Maps a vector from `position`, in bins of warmth and Duv, to one from `neutral`. None leaves
        vectors as they are.

    Returns
    -------
    (n, kinds, N_WARMTH_BINS, N_DUV_BINS) tensor
    """
    rows, columns = histograms.shape[2:]
    if inverse is None:
        inverse = torch.eye(2, device=histograms.device).expand(len(histograms), 2, 2)
    # `affine_grid` takes (x, y) in units of half of the width and height.
    half = torch.tensor([columns / 2, rows / 2], device=histograms.device)
    flipped = inverse.flip(1).flip(2)
    # The centre of the middle bin lies half a bin from the middle of the histogram.
    from_position = torch.einsum("nij,nj->ni", flipped, position.flip(1) + 0.5)
    offset = (neutral.flip(1) + 0.5 - from_position) / half
    linear = flipped * half[None, None, :] / half[None, :, None]
    pose = torch.cat([linear, offset[:, :, None]], dim=2)
    size = [*histograms.shape]
    grid = functional.affine_grid(pose, size, align_corners=False)
    whole = functional.grid_sample(histograms.float(), grid, align_corners=False)
    return whole[:, :, MARGIN[0] : rows - MARGIN[0], MARGIN[1] : columns - MARGIN[1]]


def _random_colour_changes(position: torch.Tensor) -> torch.Tensor:
    """Inverses of random stretches and rotations, (n, 2, 2), for `warped`."""
    low, high = (float(np.log(end)) for end in STRETCH_RANGE)
    stretch = torch.exp(low + (high - low) * torch.rand_like(position))
    angle = float(np.radians(TURN_DEG)) * torch.randn_like(position[:, 0])
    cosine, sine = torch.cos(angle), torch.sin(angle)
    rows = [torch.stack([cosine, -sine], dim=1), torch.stack([sine, cosine], dim=1)]
    return torch.stack(rows, dim=1) / stretch[:, None, :]


def _random_holes(device: torch.device) -> torch.Tensor:
    """Factor of each bin, (BATCH, 1, rows, columns): 0 at the centre of a hole, 1 far from all."""
    rows = torch.arange(N_WARMTH_BINS, device=device)[None, None, :, None]
    columns = torch.arange(N_DUV_BINS, device=device)[None, None, None, :]
    at = torch.rand(4, BATCH, N_HOLES, 1, 1, device=device)
    radius = HOLE_RADII_BINS[0] + (HOLE_RADII_BINS[1] - HOLE_RADII_BINS[0]) * at[2]
    away = (rows - N_WARMTH_BINS * at[0]) ** 2 + (columns - N_DUV_BINS * at[1]) ** 2
    depth = (at[3] < HOLE_PROBABILITY) * torch.exp(-0.5 * away / radius**2)
    return (1 - depth).prod(dim=1, keepdim=True)


def targets(position: torch.Tensor, deviation_bins: torch.Tensor) -> torch.Tensor:
    """Target probability of each bin, (n, rows * columns): a Gaussian about the neutral."""
    axes = []
    for axis, n_bins in enumerate((N_WARMTH_BINS, N_DUV_BINS)):
        bins = torch.arange(n_bins, device=position.device) - n_bins // 2
        away = (bins[None] - position[:, axis, None]) / deviation_bins[:, None]
        axes.append(torch.exp(-0.5 * away**2))
    both = (axes[0][:, :, None] * axes[1][:, None]).flatten(1)
    return both / both.sum(dim=1, keepdim=True)


def train(
    training_set: TrainingSet, report: Callable[[str], None], *, varied: bool
) -> NeutralNetwork:
    """Train a new network on the colours of the training pictures, as they are or varied."""
    network = NeutralNetwork()
    network.to(training_set.weight.device)
    n_steps = len(training_set) // BATCH
    optimiser = torch.optim.AdamW(network.parameters(), lr=LEARNING_RATE, weight_decay=WEIGHT_DECAY)
    schedule = torch.optim.lr_scheduler.OneCycleLR(
        optimiser, LEARNING_RATE, total_steps=N_EPOCHS * n_steps
    )
    for epoch in range(N_EPOCHS):
        network.train()
        for _ in range(n_steps):
            histograms, target = training_set.batch(varied=varied)
            log_probability = torch.log_softmax(network(histograms).flatten(1), dim=1)
            loss = -(target * log_probability).sum(dim=1).mean()
            optimiser.zero_grad()
            loss.backward()
            optimiser.step()
            schedule.step()
        report(f"epoch {epoch + 1} of {N_EPOCHS}: {loss.item():.3f}")
    network.eval()
    return network

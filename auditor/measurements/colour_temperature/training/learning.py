"""Teaching: casts by moving the histograms, pictures of one light laid over each other."""

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
from auditor.measurements.colour_temperature.training.teachers import MARGIN, Teacher

BATCH = 96
N_EPOCHS = 60
LEARNING_RATE, WEIGHT_DECAY = 3e-3, 1e-2
NARROW_CAST_MIRED, WIDE_CAST_MIRED = 12.0, 80.0
"""Half of the casts are normal with this deviation, as finished pictures are; half are even."""

TINT_BINS = 0.5
MIXED_SHARE, MOST_MIXED = 0.4, 0.5
"""How often a second picture's colours are laid over a first's, and with which weight at most."""

STRETCHES, TURN_DEG = (0.85, 1.9), 25.0
"""Where colours are varied: factors by which they are drawn away from the neutral, each axis by its
own, and deviation of the turn of all colours about it: other glazes, other grounds."""

N_HOLES, HOLE_BINS = 4, (1.5, 6.0)
"""So many round holes at most are then worn into the histograms, of these radii: things gone."""

KIND_GAIN = 0.2  # deviation of the logarithm by which each kind of histogram is scaled


@dataclass(frozen=True, slots=True)
class Class:
    """Teachers of one kind.

    Attributes
    ----------
    teachers : sequence of Teacher
    weight : float
        How often one of them is taken, against one of weight 1.
    doubt_bins : float
        Deviation of what is aimed at about the neutral that they tell.
    """

    teachers: Sequence[Teacher]
    weight: float
    doubt_bins: float


class Stock:
    """All teachers on one device, to draw batches from."""

    def __init__(self, classes: Sequence[Class], device: str) -> None:
        every = [(t, c) for c in classes for t in c.teachers]
        stacked = np.stack([t.histograms for t, _ in every])
        self.histograms = torch.tensor(stacked, device=device)
        self.neutral = torch.tensor(np.stack([t.neutral for t, _ in every]), device=device).float()
        self.doubt = torch.tensor([c.doubt_bins for _, c in every], device=device)
        self.weight = torch.tensor([c.weight for _, c in every], device=device)

    def __len__(self) -> int:
        return len(self.weight)

    def batch(self, *, varied: bool) -> tuple[torch.Tensor, torch.Tensor]:
        """Histograms under casts from chance, and what shall be answered.

        Where ``varied``, each picture has its colours drawn apart and some taken away.
        """
        first = torch.multinomial(self.weight, BATCH, replacement=True)
        second = torch.multinomial(self.weight, BATCH, replacement=True)
        device = self.weight.device
        narrow = NARROW_CAST_MIRED * torch.randn(BATCH, device=device)
        wide = WIDE_CAST_MIRED * (2 * torch.rand(BATCH, device=device) - 1)
        mired = torch.where(torch.rand(BATCH, device=device) < 0.5, narrow, wide)
        tint = TINT_BINS * torch.randn(BATCH, device=device)
        cast = torch.stack([mired / WARMTH_BIN_MIRED, tint], dim=1)
        # A picture that has a cast of its own keeps it, so that no colour leaves the plane.
        has_own = self.neutral[first].abs() > 1
        place = torch.where(has_own, self.neutral[first], cast)
        share = MOST_MIXED * torch.rand(BATCH, device=device)
        share *= torch.rand(BATCH, device=device) < MIXED_SHARE
        share = share[:, None, None, None]
        seen = (1 - share) * self._seen(first, place, varied=varied)
        seen = seen + share * self._seen(second, place, varied=varied)
        if varied:
            seen = seen * _worn(place.device)
        gain = KIND_GAIN * torch.randn(BATCH, N_KINDS, 1, 1, device=device)
        return seen * torch.exp(gain), aims(place, self.doubt[first])

    def _seen(self, chosen: torch.Tensor, place: torch.Tensor, *, varied: bool) -> torch.Tensor:
        """Pictures with their neutral at a place."""
        back = _other_colours(place) if varied else None
        return moved(self.histograms[chosen], place, self.neutral[chosen], back)


def moved(
    histograms: torch.Tensor,
    place: torch.Tensor,
    neutral: torch.Tensor,
    back: torch.Tensor | None = None,
) -> torch.Tensor:
    """Map histograms so that their neutral comes to a place, and cut off the margin.

    Parameters
    ----------
    histograms : (n, kinds, rows, columns) tensor
    place, neutral : (n, 2) tensor
        In bins from the middle.
    back : (n, 2, 2) tensor or None
        Takes a way from the place, in bins of warmth and Duv, to one from the neutral.
    """
    rows, columns = histograms.shape[2:]
    if back is None:
        back = torch.eye(2, device=histograms.device).expand(len(histograms), 2, 2)
    # Sampling wants (across, down) in halves of the whole.
    half = torch.tensor([columns / 2, rows / 2], device=histograms.device)
    flipped = back.flip(1).flip(2)
    # The middle bin's centre lies half a bin from the middle of the whole.
    from_place = torch.einsum("nij,nj->ni", flipped, place.flip(1) + 0.5)
    offset = (neutral.flip(1) + 0.5 - from_place) / half
    linear = flipped * half[None, None, :] / half[None, :, None]
    pose = torch.cat([linear, offset[:, :, None]], dim=2)
    size = [*histograms.shape]
    grid = functional.affine_grid(pose, size, align_corners=False)
    all_of_it = functional.grid_sample(histograms.float(), grid, align_corners=False)
    return all_of_it[:, :, MARGIN[0] : rows - MARGIN[0], MARGIN[1] : columns - MARGIN[1]]


def _other_colours(place: torch.Tensor) -> torch.Tensor:
    """Stretches and turns from chance, (n, 2, 2), as `moved` takes them."""
    low, high = (float(np.log(end)) for end in STRETCHES)
    stretch = torch.exp(low + (high - low) * torch.rand_like(place))
    angle = float(np.radians(TURN_DEG)) * torch.randn_like(place[:, 0])
    cosine, sine = torch.cos(angle), torch.sin(angle)
    rows = [torch.stack([cosine, -sine], dim=1), torch.stack([sine, cosine], dim=1)]
    return torch.stack(rows, dim=1) / stretch[:, None, :]


def _worn(device: torch.device) -> torch.Tensor:
    """Factors of each bin, (BATCH, 1, rows, columns), 0 in the middle of holes."""
    rows = torch.arange(N_WARMTH_BINS, device=device)[None, None, :, None]
    columns = torch.arange(N_DUV_BINS, device=device)[None, None, None, :]
    at = torch.rand(4, BATCH, N_HOLES, 1, 1, device=device)
    radius = HOLE_BINS[0] + (HOLE_BINS[1] - HOLE_BINS[0]) * at[2]
    away = (rows - N_WARMTH_BINS * at[0]) ** 2 + (columns - N_DUV_BINS * at[1]) ** 2
    depth = (at[3] < 0.5) * torch.exp(-0.5 * away / radius**2)
    return (1 - depth).prod(dim=1, keepdim=True)


def aims(place: torch.Tensor, doubt_bins: torch.Tensor) -> torch.Tensor:
    """Probability of each bin, (n, rows * columns), normal about the neutral."""
    sides = []
    for axis, n_bins in enumerate((N_WARMTH_BINS, N_DUV_BINS)):
        bins = torch.arange(n_bins, device=place.device) - n_bins // 2
        away = (bins[None] - place[:, axis, None]) / doubt_bins[:, None]
        sides.append(torch.exp(-0.5 * away**2))
    both = (sides[0][:, :, None] * sides[1][:, None]).flatten(1)
    return both / both.sum(dim=1, keepdim=True)


def learn(stock: Stock, tell: Callable[[str], None], *, varied: bool) -> NeutralNetwork:
    """Teach a new network, with the colours of its teachers as they are or varied."""
    network = NeutralNetwork()
    network.to(stock.weight.device)
    n_steps = len(stock) // BATCH
    optimiser = torch.optim.AdamW(network.parameters(), lr=LEARNING_RATE, weight_decay=WEIGHT_DECAY)
    pace = torch.optim.lr_scheduler.OneCycleLR(
        optimiser, LEARNING_RATE, total_steps=N_EPOCHS * n_steps
    )
    for epoch in range(N_EPOCHS):
        network.train()
        for _ in range(n_steps):
            seen, aim = stock.batch(varied=varied)
            likely = torch.log_softmax(network(seen).flatten(1), dim=1)
            loss = -(aim * likely).sum(dim=1).mean()
            optimiser.zero_grad()
            loss.backward()
            optimiser.step()
            pace.step()
        tell(f"epoch {epoch + 1} of {N_EPOCHS}: {loss.item():.3f}")
    network.eval()
    return network

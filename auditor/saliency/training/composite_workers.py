"""Composites made by worker processes, and a replay buffer for them on the device."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor, multiprocessing

from auditor.saliency.training.backgrounds import Picture
from auditor.saliency.training.composites import SIDE_PX, compose
from auditor.saliency.training.dishes import Cutout

RING_SIZE = 64  # composites that each worker may be ahead of the training
PAUSE_S = 0.01


@dataclass(frozen=True, slots=True)
class RingBuffer:
    """Memory that one worker shares with the training: composites and their counts.

    `counts` holds the numbers of composites made (written by the worker) and taken (written by the
    training).
    """

    pictures: Tensor
    truths: Tensor
    counts: Tensor


def _ring_buffer() -> RingBuffer:
    shape = (RING_SIZE, SIDE_PX, SIDE_PX, 3)
    return RingBuffer(
        torch.zeros(shape, dtype=torch.uint8).share_memory_(),
        torch.zeros(shape, dtype=torch.uint8).share_memory_(),
        torch.zeros(2, dtype=torch.int64).share_memory_(),
    )


def _work(
    seed: tuple[int, int], cutouts: list[Cutout], backgrounds: list[Picture], ring: RingBuffer
) -> None:
    """Make composites in an endless loop; runs in its own process."""
    rng = np.random.default_rng(seed)
    pictures, truths, counts = ring.pictures.numpy(), ring.truths.numpy(), ring.counts.numpy()
    while True:
        if counts[0] - counts[1] >= RING_SIZE:
            time.sleep(PAUSE_S)
            continue
        example, place = compose(rng, cutouts, backgrounds), counts[0] % RING_SIZE
        pictures[place], truths[place] = example.picture, example.truth
        counts[0] += 1


class CompositeWorkers:
    """Worker processes, each with its own seeds; without locks, so that none waits for another."""

    def __init__(
        self, seed: int, cutouts: list[Cutout], backgrounds: list[Picture], n_workers: int
    ) -> None:
        context = multiprocessing.get_context("fork")
        self._rings = [_ring_buffer() for _ in range(n_workers)]
        self._workers = [
            context.Process(target=_work, args=((seed, n), cutouts, backgrounds, ring), daemon=True)
            for n, ring in enumerate(self._rings)
        ]
        for worker in self._workers:
            worker.start()

    def take(self) -> Iterator[tuple[Tensor, Tensor]]:
        """Composites made since the last call."""
        for ring in self._rings:
            made, taken = int(ring.counts[0]), int(ring.counts[1])
            if made > taken:
                places = torch.arange(taken, made) % RING_SIZE
                yield ring.pictures[places], ring.truths[places]
                ring.counts[1] = made

    def close(self) -> None:
        """Terminate the workers."""
        for worker in self._workers:
            worker.terminate()


class ReplayBuffer:
    """The most recent composites, on the device."""

    def __init__(self, size: int, device: torch.device) -> None:
        shape = (size, SIDE_PX, SIDE_PX, 3)
        self._pictures = torch.zeros(shape, dtype=torch.uint8, device=device)
        self._truths = torch.zeros(shape, dtype=torch.uint8, device=device)
        self._n_kept = torch.zeros((), device=device)
        self.n_made = 0

    def add(self, pictures: Tensor, truths: Tensor) -> None:
        """Add composites; they replace the oldest."""
        device, size = self._pictures.device, len(self._pictures)
        places = (torch.arange(self.n_made, self.n_made + len(pictures)) % size).to(device)
        self._pictures[places] = pictures.to(device)
        self._truths[places] = truths.to(device)
        self.n_made += len(pictures)
        self._n_kept.fill_(min(self.n_made, size))

    def draw(self, n: int) -> tuple[Tensor, Tensor]:
        """Draw n at random: (n, 3, SIDE_PX, SIDE_PX) pictures and truths, 0 to 255."""
        places = random_indices(self._n_kept, n)
        return (
            self._pictures[places].permute(0, 3, 1, 2),
            self._truths[places].permute(0, 3, 1, 2),
        )


def random_indices(count: Tensor, n: int) -> Tensor:
    """Random indices below a count stored on the device, so that a captured step can follow it."""
    return (torch.rand(n, device=count.device) * count).long().clamp(max=count.long() - 1)

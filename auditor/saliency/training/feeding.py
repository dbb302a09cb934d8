"""Composites made by worker processes and kept on the device, where they are shown again."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor, multiprocessing

from auditor.saliency.training.composites import SIDE_PX, compose
from auditor.saliency.training.dishes import Cutout
from auditor.saliency.training.grounds import Picture

RING = 64  # composites that each worker may be ahead of the training
PAUSE_S = 0.01


@dataclass(frozen=True, slots=True)
class Ring:
    """What one worker shares with the training: composites and how many of them there were.

    `counts` holds how many were made (written by the worker) and taken (by the training).
    """

    pictures: Tensor
    truths: Tensor
    counts: Tensor


def _ring() -> Ring:
    shape = (RING, SIDE_PX, SIDE_PX, 3)
    return Ring(
        torch.zeros(shape, dtype=torch.uint8).share_memory_(),
        torch.zeros(shape, dtype=torch.uint8).share_memory_(),
        torch.zeros(2, dtype=torch.int64).share_memory_(),
    )


def _work(seed: tuple[int, int], cutouts: list[Cutout], grounds: list[Picture], ring: Ring) -> None:
    """Make composites without end; runs in a process of its own."""
    rng = np.random.default_rng(seed)
    pictures, truths, counts = ring.pictures.numpy(), ring.truths.numpy(), ring.counts.numpy()
    while True:
        if counts[0] - counts[1] >= RING:
            time.sleep(PAUSE_S)
            continue
        teacher = compose(rng, cutouts, grounds)
        pictures[counts[0] % RING], truths[counts[0] % RING] = teacher.picture, teacher.truth
        counts[0] += 1


class Feed:
    """Worker processes, each with seeds of its own; no lock, so that nobody waits for anybody."""

    def __init__(
        self, seed: int, cutouts: list[Cutout], grounds: list[Picture], n_workers: int
    ) -> None:
        context = multiprocessing.get_context("fork")
        self._rings = [_ring() for _ in range(n_workers)]
        self._workers = [
            context.Process(target=_work, args=((seed, n), cutouts, grounds, ring), daemon=True)
            for n, ring in enumerate(self._rings)
        ]
        for worker in self._workers:
            worker.start()

    def take(self) -> Iterator[tuple[Tensor, Tensor]]:
        """What is new since the last call."""
        for ring in self._rings:
            made, taken = int(ring.counts[0]), int(ring.counts[1])
            if made > taken:
                places = torch.arange(taken, made) % RING
                yield ring.pictures[places], ring.truths[places]
                ring.counts[1] = made

    def close(self) -> None:
        """End the workers."""
        for worker in self._workers:
            worker.terminate()


class Replay:
    """The last composites, on the device."""

    def __init__(self, size: int, device: torch.device) -> None:
        shape = (size, SIDE_PX, SIDE_PX, 3)
        self._pictures = torch.zeros(shape, dtype=torch.uint8, device=device)
        self._truths = torch.zeros(shape, dtype=torch.uint8, device=device)
        self._n_kept = torch.zeros((), device=device)
        self.n_made = 0

    def add(self, pictures: Tensor, truths: Tensor) -> None:
        """Keep new ones in place of the oldest."""
        device, size = self._pictures.device, len(self._pictures)
        places = (torch.arange(self.n_made, self.n_made + len(pictures)) % size).to(device)
        self._pictures[places] = pictures.to(device)
        self._truths[places] = truths.to(device)
        self.n_made += len(pictures)
        self._n_kept.fill_(min(self.n_made, size))

    def draw(self, n: int) -> tuple[Tensor, Tensor]:
        """Any n of them: (n, 3, SIDE_PX, SIDE_PX) pictures and truths, 0 to 255."""
        places = any_of(self._n_kept, n)
        return (
            self._pictures[places].permute(0, 3, 1, 2),
            self._truths[places].permute(0, 3, 1, 2),
        )


def any_of(count: Tensor, n: int) -> Tensor:
    """Places below a count that lies on the device, so that a recorded step can follow it."""
    return (torch.rand(n, device=count.device) * count).long().clamp(max=count.long() - 1)

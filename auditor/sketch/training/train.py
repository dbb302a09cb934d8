"""Train the network that labels ink, for a given time, while other processes draw examples."""

from __future__ import annotations

import math
import multiprocessing
import os
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from multiprocessing.queues import Queue
from pathlib import Path
from typing import TypeAlias

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor
from torch.nn import functional

from auditor.saliency.training.network import SubjectNetwork, export_tensors
from auditor.sketch.ink_labels import CHANNELS, INPUT_PX, OUTPUT_PX
from auditor.sketch.training.stored_examples import PLAIN_SHARE, draw_examples

BATCH, PEAK_RATE, WEIGHT_DECAY, WARM_S = 64, 2e-3, 0.02, 20.0
AVERAGE_DECAY = 0.999
MOST_EXAMPLES = 90_000
FIRST_FILL = 1500  # examples before training starts
DEEP_WEIGHT = 0.3
# Ink and labels of one example.
ExampleQueue: TypeAlias = "Queue[tuple[NDArray[np.uint8], NDArray[np.uint8]]]"
VECTORS = {"to light x": "arrow", "to light y": "arrow", "squash": "shows angle"}


def _draw_for_ever(strokes: str, seed: int, queue: ExampleQueue) -> None:
    torch.set_num_threads(1)
    for example in draw_examples(Path(strokes), seed, PLAIN_SHARE):
        queue.put((example.ink, example.labels))


class Examples:
    """Examples on the device, filled by other processes."""

    def __init__(self, strokes: str, seed: int, n_workers: int) -> None:
        context = multiprocessing.get_context("spawn")
        self._queue = context.Queue(256)
        self.ink = torch.zeros((MOST_EXAMPLES, 3, INPUT_PX, INPUT_PX), dtype=torch.uint8).cuda()
        shape = (MOST_EXAMPLES, len(CHANNELS), OUTPUT_PX, OUTPUT_PX)
        self.labels = torch.zeros(shape, dtype=torch.uint8).cuda()
        self.n = 0
        for k in range(n_workers):
            arguments = (strokes, 1000 * seed + k, self._queue)
            context.Process(target=_draw_for_ever, args=arguments, daemon=True).start()
        threading.Thread(target=self._fill, daemon=True).start()

    def _fill(self) -> None:
        place = 0
        while True:
            ink, labels = self._queue.get()
            self.ink[place] = torch.from_numpy(ink).permute(2, 0, 1).cuda()
            self.labels[place] = torch.from_numpy(labels).permute(2, 0, 1).cuda()
            place = (place + 1) % MOST_EXAMPLES
            self.n = max(self.n, place)

    def batch(self) -> tuple[Tensor, Tensor]:
        """A random batch, half of it mirrored."""
        index = torch.randint(self.n, (BATCH,), device="cuda")
        ink, labels = self.ink[index].float() / 255, self.labels[index].float() / 255
        flip = torch.rand(BATCH, device="cuda") < 0.5
        ink[flip] = ink[flip].flip(-1)
        labels[flip] = labels[flip].flip(-1)
        x = CHANNELS.index("to light x")
        labels[flip, x] = 1 - labels[flip, x]
        return ink, labels


def loss_of(logits: Tensor, labels: Tensor) -> Tensor:
    """Cross-entropy and overlap of the masks, squared error of the values where they count."""
    masks = [k for k, name in enumerate(CHANNELS) if name not in VECTORS]
    guess, wanted = logits[:, masks].float(), labels[:, masks]
    total = 8 * functional.binary_cross_entropy_with_logits(guess, wanted)
    likely = guess.sigmoid()
    both = (likely * wanted).sum((0, 2, 3))
    dice = 1 - (2 * both + 1) / (likely.sum((0, 2, 3)) + wanted.sum((0, 2, 3)) + 1)
    total = total + dice.mean()
    for name, where in VECTORS.items():
        k, mask = CHANNELS.index(name), labels[:, CHANNELS.index(where)]
        error = (logits[:, k].float().sigmoid() - labels[:, k]).square() * mask
        total = total + 4 * error.sum() / (mask.sum() + 1)
    return total


def _rates(seconds: float) -> Iterator[float]:
    start = time.monotonic()
    while (passed := time.monotonic() - start) < seconds:
        warm = min(1.0, passed / WARM_S)
        yield PEAK_RATE * warm * (0.5 + 0.5 * math.cos(math.pi * passed / seconds)) + 1e-6


def train(strokes: str, out: Path, seconds: float, seed: int, start: Path | None = None) -> None:
    """Train and write the weights, in half precision, with the normalisations folded in."""
    torch.manual_seed(seed)
    examples = Examples(strokes, seed, max(1, (os.cpu_count() or 2) - 2))
    while examples.n < FIRST_FILL:
        time.sleep(1)
    network = SubjectNetwork(len(CHANNELS)).cuda().to(memory_format=torch.channels_last)
    if start is not None:
        network.load_state_dict(torch.load(start, weights_only=True, map_location="cuda"))
    average = {name: value.clone() for name, value in network.state_dict().items()}
    optimiser = torch.optim.AdamW(network.parameters(), PEAK_RATE, weight_decay=WEIGHT_DECAY)
    recent, n_steps, said = 0.0, 0, time.monotonic()
    for rate in _rates(seconds):
        optimiser.param_groups[0]["lr"] = rate
        ink, labels = examples.batch()
        with torch.autocast("cuda", torch.bfloat16):
            fine, deep = network(ink.contiguous(memory_format=torch.channels_last))
        small = functional.adaptive_avg_pool2d(labels, deep.shape[-1])
        loss = loss_of(fine, labels) + DEEP_WEIGHT * loss_of(deep, small)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(network.parameters(), 5.0)
        optimiser.step()
        n_steps += 1
        decay = min(AVERAGE_DECAY, n_steps / (n_steps + 10))
        with torch.no_grad():
            for name, value in network.state_dict().items():
                if value.dtype.is_floating_point:
                    average[name].lerp_(value, 1 - decay)
        if n_steps % 50 == 0:
            recent = 0.8 * recent + 0.2 * float(loss.detach())
            if time.monotonic() - said > 20:
                said = time.monotonic()
                say(f"{n_steps} steps, {examples.n} examples, loss {recent:.3f}")
    save(network, average, out)
    say(f"{n_steps} steps, {examples.n} examples")


def save(network: SubjectNetwork, average: Mapping[str, Tensor], out: Path) -> None:
    """Write the averaged weights: those that the reader uses, and those to train on from."""
    averaged = SubjectNetwork(len(CHANNELS)).eval()
    averaged.load_state_dict({**network.state_dict(), **average})
    tensors = export_tensors(averaged)
    arrays = {name: tensor.numpy().astype(np.float16) for name, tensor in tensors.items()}
    out.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(out / "weights.npz", **arrays)
    torch.save(averaged.state_dict(), out / "network.pt")


def say(text: str) -> None:
    """Print at once."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()

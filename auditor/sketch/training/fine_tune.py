"""Fine-tune the network on stored examples, on one processor: see `MODEL.md`.

``python -m auditor.sketch.training.fine_tune NETWORK.pt OUT EXAMPLES.npz ... --seconds 1200``
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from auditor.saliency.training.network import SubjectNetwork
from auditor.sketch.ink_labels import CHANNELS
from auditor.sketch.training.stored_examples import read_examples
from auditor.sketch.training.train import DEEP_WEIGHT, loss_of, save, say

# The first layers know strokes already; that they stay as they are saves half of the time.
N_FROZEN_BLOCKS = 4
BATCH, WARM_STEPS = 8, 15  # our choice, no source
AVERAGE_DECAY = 0.98  # of the weights: there are a few hundred steps
SAVED_EVERY_S = 120.0


def fine_tune(start: Path, out: Path, files: Sequence[Path], seconds: float, seed: int,
              peak_rate: float) -> None:  # fmt: skip
    """Train on for a given time; what was learned is written every two minutes and at the end."""
    torch.manual_seed(seed)
    torch.set_num_threads(1)
    network = SubjectNetwork(len(CHANNELS)).to(memory_format=torch.channels_last)
    network.load_state_dict(torch.load(start, weights_only=True, map_location="cpu"))
    network.eval()  # means and variances of the normalisations stay as they are
    first = (network.stem, network.stem_norm, *network.encoder[:N_FROZEN_BLOCKS])
    for layer in first:
        layer.requires_grad_(requires_grad=False)
    learned = {name: p for name, p in network.named_parameters() if p.requires_grad}
    average = {name: value.detach().clone() for name, value in learned.items()}
    optimiser = torch.optim.AdamW(learned.values(), peak_rate, weight_decay=0.0)
    batches = _batches(*read_examples(files), np.random.default_rng(seed))
    begun = saved = time.monotonic()
    n_steps, recent = 0, 0.0
    while (passed := time.monotonic() - begun) < seconds:
        rate = 0.5 + 0.5 * math.cos(math.pi * passed / seconds)
        optimiser.param_groups[0]["lr"] = peak_rate * rate * min(1.0, (n_steps + 1) / WARM_STEPS)
        loss = _step(network, optimiser, *next(batches))
        n_steps += 1
        decay = min(AVERAGE_DECAY, n_steps / (n_steps + 10))
        for name, value in learned.items():
            average[name].lerp_(value.detach(), 1 - decay)
        recent = loss if n_steps == 1 else 0.95 * recent + 0.05 * loss
        if time.monotonic() - saved > SAVED_EVERY_S:
            saved = time.monotonic()
            save(network, average, out)
            say(f"{n_steps} steps, loss {recent:.3f}")
    save(network, average, out)
    say(f"{n_steps} steps, loss {recent:.3f}")


def _step(
    network: SubjectNetwork, optimiser: torch.optim.Optimizer, ink: Tensor, labels: Tensor
) -> float:
    with torch.autocast("cpu", torch.bfloat16):
        fine, deep = network(ink.contiguous(memory_format=torch.channels_last))
    small = functional.adaptive_avg_pool2d(labels, deep.shape[-1])
    loss = loss_of(fine, labels) + DEEP_WEIGHT * loss_of(deep, small)
    optimiser.zero_grad(set_to_none=True)
    loss.backward()
    torch.nn.utils.clip_grad_norm_(network.parameters(), 5.0)
    optimiser.step()
    return float(loss.detach())


def _batches(
    ink: np.ndarray, labels: np.ndarray, rng: np.random.Generator
) -> Iterator[tuple[Tensor, Tensor]]:
    """Every example once in random order, then again; half of them mirrored."""
    while True:
        order = rng.permutation(len(ink))
        for start in range(0, len(order) - BATCH + 1, BATCH):
            index = order[start : start + BATCH]
            pair = [torch.from_numpy(one[index]).permute(0, 3, 1, 2) for one in (ink, labels)]
            a, b = (one.float() / 255 for one in pair)
            yield mirrored(a, b) if rng.random() < 0.5 else (a, b)


def mirrored(ink: Tensor, labels: Tensor) -> tuple[Tensor, Tensor]:
    """Examples in a mirror: light from the left comes from the right."""
    labels = labels.flip(-1)
    x = CHANNELS.index("to light x")
    labels[:, x] = 1 - labels[:, x]
    return ink.flip(-1), labels


def main() -> None:
    """Read the arguments and train."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("start", type=Path, help="network.pt of an earlier run")
    parser.add_argument("out", type=Path)
    parser.add_argument("examples", type=Path, nargs="+")
    parser.add_argument("--seconds", type=float, default=1200.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--peak-rate", type=float, default=3e-4, help="of learning")
    given = parser.parse_args()
    settings = given.seconds, given.seed, given.peak_rate
    fine_tune(given.start, given.out, given.examples, *settings)


if __name__ == "__main__":
    main()

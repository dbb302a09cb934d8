"""The training loop, which runs for a given time."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from auditor.saliency.training.composite_workers import CompositeWorkers, ReplayBuffer
from auditor.saliency.training.evaluation import evaluate
from auditor.saliency.training.marked import marked_names
from auditor.saliency.training.network import SubjectNetwork, export_tensors, start_encoder
from auditor.saliency.training.photographs import read_backgrounds, read_cutouts
from auditor.saliency.training.steps import Step, captured
from auditor.saliency.training.training_data import Sources, TrainingData

PEAK_RATE, LAST_RATE, WEIGHT_DECAY = 1.5e-3, 1e-5, 0.05
ENCODER_SHARE = 0.25  # of the learning rate, for the encoder, which is already trained
N_WARM_STEPS = 200
AVERAGE_DECAY = 0.999  # of the running mean of the weights, which is exported
REPLAY_SIZE = 24_000  # composites kept on the device and used again, with new augmentation
FIRST_FILL = 400  # composites before training starts
N_STEPS_PER_REFILL = 25  # between refills of the replay buffer from the workers
REPORT_EVERY_S = 30.0
DEEP_WEIGHT = 0.4  # of the coarse maps in the loss


@dataclass(frozen=True, slots=True)
class TrainingOptions:
    """Options of a training run.

    Attributes
    ----------
    sources : Sources
    out : Path
        Folder of the results.
    seconds : float
    seed : int
    encoder : Path
        Weights of EfficientNet-Lite0, for `start_encoder`.
    start : Path or None
        `network.pt` of an earlier run, to continue it instead.
    n_workers : int
        Processes that make composites; 0 for as many as there are cores, less two.
    """

    sources: Sources
    out: Path
    seconds: float
    seed: int
    encoder: Path
    start: Path | None = None
    n_workers: int = 0


def loss(logits: Tensor, truths: Tensor, weights: Tensor) -> Tensor:
    """Cross-entropy of all maps plus one minus the soft overlap of subject and things."""
    entropy = functional.binary_cross_entropy_with_logits(logits, truths, weight=weights)
    guess = torch.sigmoid(logits[:, :2])
    known = weights[:, :2]
    common = (known * guess * truths[:, :2]).sum(dim=(2, 3))
    either = (known * (guess + truths[:, :2] - guess * truths[:, :2])).sum(dim=(2, 3))
    present = (known * truths[:, :2]).sum(dim=(2, 3)) > 1
    overlap = torch.where(present, 1 - (common + 1) / (either + 1), torch.zeros_like(common))
    return 2 * entropy + overlap.mean()


class Trainer:
    """The network, its running mean and its optimiser; one call of `step` is one step."""

    def __init__(self, data: TrainingData, options: TrainingOptions, device: torch.device) -> None:
        self._data, self.device = data, device
        self.network = SubjectNetwork().to(device)
        if options.start is None:
            start_encoder(self.network, torch.load(options.encoder, map_location=device))
        else:
            self.network.load_state_dict(torch.load(options.start, map_location=device))
        self.average = SubjectNetwork().to(device).eval()
        self.average.load_state_dict(self.network.state_dict())
        on_card = device.type == "cuda"
        # Learning rates of the encoder and of the rest, on the device so that a captured step
        # follows them.
        self._rates = [torch.tensor(LAST_RATE, device=device) for _ in range(2)]
        named = list(self.network.named_parameters())
        old = [p for name, p in named if name.startswith(("stem", "encoder"))]
        new = [p for name, p in named if not name.startswith(("stem", "encoder"))]
        self._optimiser = torch.optim.AdamW(
            [
                {"params": parameters, "lr": rate}
                for parameters, rate in zip((old, new), self._rates, strict=True)
            ],
            weight_decay=WEIGHT_DECAY,
            fused=on_card,
            capturable=on_card,
        )
        self.error = torch.zeros((), device=device)
        self._running = [list(self.network.parameters()), _statistics(self.network)]
        self._averaged = [list(self.average.parameters()), _statistics(self.average)]

    def set_rate(self, rate: float) -> None:
        """Set the learning rate."""
        self._rates[0].fill_(ENCODER_SHARE * rate)
        self._rates[1].fill_(rate)

    def step(self, layout: torch.memory_format) -> None:
        """Train on one batch; no operation waits for the device, so that it can be captured."""
        batch = self._data.batch()
        pictures = batch.pictures.contiguous(memory_format=layout)
        truths, weights = (functional.avg_pool2d(t, 2) for t in (batch.truths, batch.weights))
        coarse, coarse_weights = (functional.avg_pool2d(t, 4) for t in (truths, weights))
        with torch.autocast(self.device.type, dtype=torch.bfloat16, cache_enabled=False):
            logits, deep = self.network(pictures)
        error = loss(logits.float(), truths, weights)
        error = error + DEEP_WEIGHT * loss(deep.float(), coarse, coarse_weights)
        self._optimiser.zero_grad(set_to_none=True)
        torch.autograd.backward(error)
        nn.utils.clip_grad_norm_(self.network.parameters(), 1.0)
        self._optimiser.step()
        with torch.no_grad():
            self.error.copy_(error)
            for average, now in zip(self._averaged, self._running, strict=True):
                torch._foreach_lerp_(average, now, 1 - AVERAGE_DECAY)


def train(options: TrainingOptions, report: Callable[[str], None]) -> None:
    """Train for a given time; writes ``weights.npz``, ``network.pt`` and ``progress.json``."""
    sources = options.sources
    workers = CompositeWorkers(
        options.seed,
        read_cutouts(sources.data / "cutouts"),
        read_backgrounds(sources.data / "food", marked_names(sources.marks)),
        options.n_workers or max(1, len(os.sched_getaffinity(0)) - 2),
    )
    torch.manual_seed(options.seed)
    # One thread: more would only slow down the workers that make composites.
    torch.set_num_threads(1)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    replay = ReplayBuffer(REPLAY_SIZE, device)
    data = TrainingData(sources, replay, device)
    trainer = Trainer(data, options, device)
    while replay.n_made < FIRST_FILL:
        _refill(replay, workers)
        time.sleep(0.1)
    step = captured(trainer.step, device, report)
    n_steps = _run(options, trainer, step, data, lambda: _refill(replay, workers), report)
    workers.close()
    refresh_statistics(trainer.average, data)
    report(f"after {n_steps} steps: {evaluate(trainer.average, *data.validation, device)}")
    _write(trainer.average, options.out)


def _run(
    options: TrainingOptions,
    trainer: Trainer,
    step: Step,
    data: TrainingData,
    refill: Callable[[], int],
    report: Callable[[str], None],
) -> int:
    """Train until the time is up; the learning rate falls along a cosine."""
    start = last_report = time.monotonic()
    history: list[dict[str, float]] = []
    n_steps = 0
    while (passed := time.monotonic() - start) < options.seconds:
        share = passed / options.seconds
        warm = min(1.0, (n_steps + 1) / N_WARM_STEPS)
        falling = 0.5 * (1 + np.cos(np.pi * share))
        trainer.set_rate(warm * (LAST_RATE + (PEAK_RATE - LAST_RATE) * falling))
        step()
        n_steps += 1
        if n_steps % N_STEPS_PER_REFILL == 0:
            n_made = refill()
            if time.monotonic() - last_report > REPORT_EVERY_S:
                last_report = time.monotonic()
                figures = evaluate(trainer.average, *data.validation, trainer.device)
                history.append({"s": passed, "steps": n_steps, "loss": float(trainer.error)})
                report(f"{history[-1]} {figures} composites {n_made}")
                history[-1] |= figures
                _write(trainer.average, options.out)
                (options.out / "progress.json").write_text(json.dumps(history, indent=1))
    return n_steps


def _refill(replay: ReplayBuffer, workers: CompositeWorkers) -> int:
    for pictures, truths in workers.take():
        replay.add(pictures, truths)
    return replay.n_made


def _statistics(network: nn.Module) -> list[Tensor]:
    return [buffer for buffer in network.buffers() if buffer.is_floating_point()]


def _write(network: SubjectNetwork, out: Path) -> None:
    write_weights(network, out / "weights.npz")
    torch.save(network.state_dict(), out / "network.pt")


def write_weights(network: SubjectNetwork, file: Path) -> None:
    """Write the weights as `auditor.saliency.network.exported_weights` reads them."""
    tensors = export_tensors(network)
    np.savez_compressed(file, **{name: t.numpy().astype(np.float16) for name, t in tensors.items()})


def refresh_statistics(network: SubjectNetwork, data: TrainingData, n_batches: int = 200) -> None:
    """Recompute the normalisations' means and variances for averaged weights."""
    network.eval()
    for module in network.modules():
        if isinstance(module, nn.BatchNorm2d):
            module.reset_running_stats()
            module.momentum = None  # the plain mean over all batches
            module.train()
    with torch.no_grad():
        for _ in range(n_batches):
            network(data.batch().pictures)
    network.eval()

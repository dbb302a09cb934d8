"""Capture a training step once and replay it, so that the device never waits for Python."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

import torch

Step = Callable[[], None]
N_WARM_UP_STEPS = 6  # run before the capture, as CUDA graphs require
N_TIMED_STEPS = 20


def captured(
    step: Callable[[torch.memory_format], None],
    device: torch.device,
    report: Callable[[str], None],
) -> Step:
    """Capture the step as a CUDA graph, channels last (fastest); without CUDA, leave it plain."""
    if device.type != "cuda":
        return partial(step, torch.contiguous_format)
    torch.backends.cudnn.benchmark = True
    plain = partial(step, torch.channels_last)
    side = torch.cuda.Stream()
    side.wait_stream(torch.cuda.current_stream())
    with torch.cuda.stream(side):
        for _ in range(N_WARM_UP_STEPS):
            plain()
    torch.cuda.current_stream().wait_stream(side)
    graph = torch.cuda.CUDAGraph()
    with torch.cuda.graph(graph):
        plain()
    report(f"{_seconds(graph.replay) * 1e3:.1f} ms a step")
    replay: Step = graph.replay
    return replay


def _seconds(step: Step) -> float:
    torch.cuda.synchronize()
    start = time.perf_counter()
    for _ in range(N_TIMED_STEPS):
        step()
    torch.cuda.synchronize()
    return (time.perf_counter() - start) / N_TIMED_STEPS

"""A training step recorded once and replayed, so that the device never waits for Python."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

import torch

Step = Callable[[], None]
N_FIRST_STEPS = 6  # taken plainly before a step is recorded, as CUDA graphs need
N_TIMED_STEPS = 20


def recorded(
    step: Callable[[torch.memory_format], None],
    device: torch.device,
    say: Callable[[str], None],
) -> Step:
    """The step in whichever memory layout runs fastest; plain where there is no CUDA."""
    if device.type != "cuda":
        return partial(step, torch.contiguous_format)
    torch.backends.cudnn.benchmark = True
    timed: list[tuple[float, Step]] = []
    for layout in (torch.channels_last, torch.contiguous_format):
        plain = partial(step, layout)
        side = torch.cuda.Stream()
        side.wait_stream(torch.cuda.current_stream())
        with torch.cuda.stream(side):
            for _ in range(N_FIRST_STEPS):
                plain()
        torch.cuda.current_stream().wait_stream(side)
        timed.append((_seconds(plain), plain))
        say(f"{layout}, plain: {timed[-1][0] * 1e3:.1f} ms a step")
        graph = torch.cuda.CUDAGraph()
        try:
            with torch.cuda.graph(graph):
                plain()
        except RuntimeError as failure:  # a library that cannot be recorded: the plain step stays
            say(f"{layout}: not recorded, {failure}")
            continue
        timed.append((_seconds(graph.replay), graph.replay))
        say(f"{layout}, recorded: {timed[-1][0] * 1e3:.1f} ms a step")
    return min(timed, key=lambda pair: pair[0])[1]


def _seconds(step: Step) -> float:
    torch.cuda.synchronize()
    start = time.perf_counter()
    for _ in range(N_TIMED_STEPS):
        step()
    torch.cuda.synchronize()
    return (time.perf_counter() - start) / N_TIMED_STEPS

"""The network in torch, and the export of its weights for the numpy version."""

from __future__ import annotations

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn
from torch.nn import functional

from auditor.measurements.colour_temperature.colour_histograms import (
    N_DUV_BINS,
    N_KINDS,
    N_WARMTH_BINS,
)
from auditor.measurements.colour_temperature.neutral_network import (
    AREA_CEILING,
    AREA_GAIN,
    PRESENCE_EXPONENT,
)

WIDTHS = (12, 16, 24, 32)
DROPOUT_SHARE = 0.15  # of the input maps, in training


def _layer(n_in: int, n_out: int) -> nn.Sequential:
    return nn.Sequential(nn.Conv2d(n_in, n_out, 3, padding=1), nn.BatchNorm2d(n_out), nn.ReLU())


class NeutralNetwork(nn.Module):
    """Scores (n, rows, columns) of the bins of the plane, from (n, kinds, rows, columns)."""

    def __init__(self) -> None:
        super().__init__()
        first, second, third, fourth = WIDTHS
        self.layers = nn.ModuleDict(
            {
                "down0": _layer(2 * N_KINDS + 2, first),
                "down1": _layer(first, second),
                "down2": _layer(second, third),
                "down3": _layer(third, fourth),
                "bottom": _layer(fourth, fourth),
                "up2": _layer(fourth + third, third),
                "up1": _layer(third + second, second),
                "up0": _layer(second + first, first),
            }
        )
        self.scores = nn.Conv2d(first, 1, 3, padding=1)
        self.dropout = nn.Dropout2d(DROPOUT_SHARE)
        coordinates = torch.meshgrid(
            torch.linspace(-1, 1, N_WARMTH_BINS), torch.linspace(-1, 1, N_DUV_BINS), indexing="ij"
        )
        self.register_buffer("coordinates", torch.stack(coordinates)[None])

    def forward(self, histograms: torch.Tensor) -> torch.Tensor:
        """Score each bin."""
        shares = histograms.clamp(min=0)
        inputs = [shares**PRESENCE_EXPONENT, (AREA_GAIN * shares).clamp(max=AREA_CEILING)]
        maps = self.dropout(torch.cat(inputs, dim=1))
        maps = torch.cat([maps, self.coordinates.expand(len(maps), -1, -1, -1)], dim=1)
        skips = []
        for level in range(len(WIDTHS)):
            maps = self.layers[f"down{level}"](functional.max_pool2d(maps, 2) if level else maps)
            skips.append(maps)
        maps = self.layers["bottom"](skips.pop())
        for level in reversed(range(len(WIDTHS) - 1)):
            enlarged = functional.interpolate(maps, scale_factor=2, mode="nearest")
            maps = self.layers[f"up{level}"](torch.cat([enlarged, skips.pop()], dim=1))
        return self.scores(maps)[:, 0]

    def numpy_weights(self) -> dict[str, NDArray[np.floating]]:
        """Kernels and biases for `neutral_network`, with batch normalisation folded in."""
        found: dict[str, NDArray[np.floating]] = {}
        for name, layer in self.layers.items():
            convolution, norm = layer[0], layer[1]
            factor = norm.weight / torch.sqrt(norm.running_var + norm.eps)
            bias = (convolution.bias - norm.running_mean) * factor + norm.bias
            found |= _as_numpy(name, convolution.weight * factor[:, None, None, None], bias)
        return found | _as_numpy("scores", self.scores.weight, self.scores.bias)


def _as_numpy(
    name: str, kernel: torch.Tensor, bias: torch.Tensor
) -> dict[str, NDArray[np.floating]]:
    flat = kernel.permute(2, 3, 1, 0).reshape(-1, len(kernel))
    return {
        f"{name}.kernel": flat.detach().cpu().numpy().astype(np.float16),
        f"{name}.bias": bias.detach().cpu().numpy().astype(np.float32),
    }

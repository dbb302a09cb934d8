"""The subject network: a small encoder-decoder of depthwise-separable convolutions.

Input (n, 3, 256, 256), sRGB in [0, 1]. Output (n, 3, 128, 128), logits of three maps: subject,
all placed things, cores of things. What is trained here is run by `auditor.saliency.network` in
numpy; both name their layers alike.
"""

from __future__ import annotations

import torch
from torch import Tensor, nn
from torch.nn import functional

ENCODER = (  # channels, stride, kernel of each block
    (24, 1, 3),
    (48, 2, 3),
    (48, 1, 3),
    (96, 2, 3),
    (96, 1, 3),
    (160, 2, 5),
    (160, 1, 5),
    (160, 1, 5),
    (224, 2, 5),
    (224, 1, 5),
)
STEM_CHANNELS = 16
SKIP_BLOCKS = (7, 4, 2, 0)  # last blocks of `ENCODER` at 1/16, 1/8, 1/4 and 1/2 of the input
DECODER = (128, 96, 64, 32)
N_MAPS = 3
DROPPED = 0.15  # of the coarsest channels, while training


class Separable(nn.Module):
    """Depthwise, then pointwise convolution, each normalised; a shortcut where shapes agree."""

    def __init__(self, before: int, after: int, stride: int, kernel: int) -> None:
        super().__init__()
        self.depthwise = nn.Conv2d(
            before, before, kernel, stride, kernel // 2, groups=before, bias=False
        )
        self.depthwise_norm = nn.BatchNorm2d(before)
        self.pointwise = nn.Conv2d(before, after, 1, bias=False)
        self.pointwise_norm = nn.BatchNorm2d(after)
        self.shortcut = stride == 1 and before == after

    def forward(self, x: Tensor) -> Tensor:
        """Apply the block."""
        y = functional.relu(self.depthwise_norm(self.depthwise(x)))
        y = self.pointwise_norm(self.pointwise(y))
        return functional.relu(y + x) if self.shortcut else functional.relu(y)


class SubjectNetwork(nn.Module):
    """The whole network."""

    def __init__(self) -> None:
        super().__init__()
        self.stem = nn.Conv2d(3, STEM_CHANNELS, 3, 2, 1, bias=False)
        self.stem_norm = nn.BatchNorm2d(STEM_CHANNELS)
        blocks, before = [], STEM_CHANNELS
        for channels, stride, kernel in ENCODER:
            blocks.append(Separable(before, channels, stride, kernel))
            before = channels
        self.encoder = nn.ModuleList(blocks)
        self.context = nn.Linear(before, before)
        self.dropping = nn.Dropout2d(DROPPED)
        laterals, mixers, above = [], [], before
        for block, channels in zip(SKIP_BLOCKS, DECODER, strict=True):
            laterals.append(nn.Conv2d(ENCODER[block][0], channels, 1))
            laterals.append(nn.Conv2d(above, channels, 1, bias=False))
            mixers.append(Separable(channels, channels, 1, 3))
            above = channels
        self.laterals = nn.ModuleList(laterals)
        self.mixers = nn.ModuleList(mixers)
        self.head = nn.Conv2d(DECODER[-1], N_MAPS, 1)
        self.deep_head = nn.Conv2d(DECODER[1], N_MAPS, 1)

    def forward(self, pictures: Tensor) -> tuple[Tensor, Tensor]:
        """Logits at half of the input's size, and coarse ones at an eighth for training only."""
        x = functional.relu(self.stem_norm(self.stem(pictures - 0.5)))
        kept: dict[int, Tensor] = {}
        for place, block in enumerate(self.encoder):
            x = block(x)
            if place in SKIP_BLOCKS:
                kept[place] = x
        x = x + functional.relu(self.context(x.mean(dim=(2, 3))))[:, :, None, None]
        x = self.dropping(x)
        deep = x
        for place, block in enumerate(SKIP_BLOCKS):
            # The pointwise layer before the enlargement, on a quarter of the pixels.
            x = functional.interpolate(
                self.laterals[2 * place + 1](x), scale_factor=2, mode="nearest"
            )
            x = functional.relu(x + self.laterals[2 * place](kept[block]))
            x = self.mixers[place](x)
            if place == 1:
                deep = x
        return self.head(x), self.deep_head(deep)


def export_tensors(network: SubjectNetwork) -> dict[str, Tensor]:
    """Weights with the normalisations folded in, named as `auditor.saliency.network` reads them."""
    tensors: dict[str, Tensor] = {}

    def fold(name: str, conv: nn.Conv2d, norm: nn.BatchNorm2d) -> None:
        scale = norm.weight / torch.sqrt(norm.running_var + norm.eps)
        tensors[f"{name}.weight"] = conv.weight * scale[:, None, None, None]
        tensors[f"{name}.bias"] = norm.bias - norm.running_mean * scale

    def separable(name: str, block: Separable) -> None:
        fold(f"{name}.depthwise", block.depthwise, block.depthwise_norm)
        fold(f"{name}.pointwise", block.pointwise, block.pointwise_norm)

    fold("stem", network.stem, network.stem_norm)
    for place, block in enumerate(network.encoder):
        separable(f"encoder.{place}", block)
    tensors["context.weight"] = network.context.weight
    tensors["context.bias"] = network.context.bias
    for place, mixer in enumerate(network.mixers):
        lateral, up = network.laterals[2 * place], network.laterals[2 * place + 1]
        tensors[f"lateral.{place}.weight"] = lateral.weight
        tensors[f"lateral.{place}.bias"] = lateral.bias
        tensors[f"up.{place}.weight"] = up.weight
        separable(f"mixer.{place}", mixer)
    tensors["head.weight"] = network.head.weight
    tensors["head.bias"] = network.head.bias
    return {name: tensor.detach().float().cpu() for name, tensor in tensors.items()}

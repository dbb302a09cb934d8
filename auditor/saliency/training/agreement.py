"""What torch answers with the exported weights, kept for a test of the numpy network.

``python -m auditor.saliency.training.agreement tests/saliency/torch_answers.npz``
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn

from auditor.saliency.network import exported_weights
from auditor.saliency.training.agreement_pictures import SEED, STEP_PX, drawn_pictures
from auditor.saliency.training.network import Separable, SubjectNetwork

N_PICTURES = 2


def load_exported(network: SubjectNetwork, weights: dict[str, NDArray[np.float32]]) -> None:
    """Put exported weights back; the normalisations, folded into them, are left with the biases."""
    tensors = {name: torch.from_numpy(values) for name, values in weights.items()}
    _unfold(tensors, "stem", network.stem, network.stem_norm)
    blocks = {f"encoder.{place}": block for place, block in enumerate(network.encoder)}
    blocks |= {f"mixer.{place}": block for place, block in enumerate(network.mixers)}
    for name, block in blocks.items():
        if not isinstance(block, Separable):
            raise TypeError(name)
        _unfold(tensors, f"{name}.depthwise", block.depthwise, block.depthwise_norm)
        _unfold(tensors, f"{name}.pointwise", block.pointwise, block.pointwise_norm)
    layers: dict[str, nn.Module] = {"context": network.context, "head": network.head}
    for place in range(len(network.mixers)):
        layers[f"lateral.{place}"] = network.laterals[2 * place]
        layers[f"up.{place}"] = network.laterals[2 * place + 1]
    for name, layer in layers.items():
        layer.load_state_dict(
            {part: tensors[f"{name}.{part}"] for part, _ in layer.named_parameters()}
        )


def _unfold(tensors: dict[str, Tensor], name: str, conv: nn.Conv2d, norm: nn.BatchNorm2d) -> None:
    conv.load_state_dict({"weight": tensors[f"{name}.weight"]})
    bias = tensors[f"{name}.bias"]
    norm.load_state_dict(
        {
            "weight": torch.ones_like(bias),
            "bias": bias,
            "running_mean": torch.zeros_like(bias),
            "running_var": torch.full_like(bias, 1 - norm.eps),
            "num_batches_tracked": torch.tensor(0),
        }
    )


def main() -> None:
    """Write the answers."""
    pictures = torch.from_numpy(drawn_pictures(SEED, N_PICTURES)).permute(0, 3, 1, 2)
    maps = []
    for weights in exported_weights():
        network = SubjectNetwork().eval()
        load_exported(network, weights)
        with torch.no_grad():
            maps.append(torch.sigmoid(network(pictures)[0]).permute(0, 2, 3, 1).numpy())
    kept = np.stack(maps)[:, :, ::STEP_PX, ::STEP_PX]
    np.savez_compressed(Path(sys.argv[1]), maps=kept)


if __name__ == "__main__":
    main()

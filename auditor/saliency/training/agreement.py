"""Save torch's output with the exported weights, for a test of the numpy network.

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
from auditor.saliency.training.network import SubjectNetwork, normalised_layers

N_PICTURES = 2


def load_exported(network: SubjectNetwork, weights: dict[str, NDArray[np.float32]]) -> None:
    """Load exported weights; the folded normalisations keep only their biases."""
    tensors = {name: torch.from_numpy(values) for name, values in weights.items()}
    for name in normalised_layers(network):
        _unfold(tensors, name, network.get_submodule(name), network.get_submodule(f"{name}_norm"))
    layers = {"context": "context", "head": "head"}
    for place in range(len(network.mixers)):
        layers[f"lateral.{place}"] = f"laterals.{2 * place}"
        layers[f"up.{place}"] = f"laterals.{2 * place + 1}"
    for name, module in layers.items():
        layer = network.get_submodule(module)
        layer.load_state_dict({part: tensors[f"{name}.{part}"] for part in layer.state_dict()})


def _unfold(tensors: dict[str, Tensor], name: str, conv: nn.Module, norm: nn.Module) -> None:
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
    """Write the maps of a few drawn pictures."""
    pictures = torch.from_numpy(drawn_pictures(SEED, N_PICTURES)).permute(0, 3, 1, 2)
    network = SubjectNetwork().eval()
    load_exported(network, exported_weights())
    with torch.no_grad():
        maps = torch.sigmoid(network(pictures)[0]).permute(0, 2, 3, 1).numpy()
    kept = maps[:, ::STEP_PX, ::STEP_PX]
    np.savez_compressed(Path(sys.argv[1]), maps=kept)


if __name__ == "__main__":
    main()

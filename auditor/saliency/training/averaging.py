"""Average the weights of several runs and export them for the program.

``python -m auditor.saliency.training.averaging auditor/saliency/weights.npz RUN/network.pt ...``

Runs that start from the same encoder end close to each other, and the mean of their weights has a
smaller error than each of them (Wortsman and others, Model soups, ICML 2022).
"""

from __future__ import annotations

import sys
from pathlib import Path

import torch
from torch import Tensor

from auditor.saliency.training.network import SubjectNetwork
from auditor.saliency.training.train import write_weights


def average(runs: list[dict[str, Tensor]]) -> dict[str, Tensor]:
    """Mean of every tensor over runs of the same network."""
    return {
        name: torch.stack([run[name].float() for run in runs]).mean(0).to(tensor.dtype)
        for name, tensor in runs[0].items()
    }


def main() -> None:
    """Read the runs and write their mean."""
    out, *files = map(Path, sys.argv[1:])
    network = SubjectNetwork().eval()
    network.load_state_dict(average([torch.load(file, map_location="cpu") for file in files]))
    write_weights(network, out)


if __name__ == "__main__":
    main()

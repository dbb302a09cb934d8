"""Put the weights of two networks into the one file that the programme reads.

``python -m auditor.saliency.training.pairing FIRST.npz SECOND.npz auditor/saliency/weights.npz``
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from auditor.saliency.network import PREFIXES


def pair(networks: tuple[Path, Path], out: Path) -> None:
    """Write both under the names that `auditor.saliency.network.exported_weights` reads."""
    together: dict[str, NDArray[np.float16]] = {}
    for prefix, file in zip(PREFIXES, networks, strict=True):
        with np.load(file) as weights:
            together |= {prefix + name: weights[name] for name in weights.files}
    with out.open("wb") as target:
        np.savez_compressed(target, allow_pickle=False, **together)


if __name__ == "__main__":
    pair((Path(sys.argv[1]), Path(sys.argv[2])), Path(sys.argv[3]))

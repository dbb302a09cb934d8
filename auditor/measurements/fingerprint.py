"""A small fingerprint of a picture, to find near-duplicates.

The layout of lightness on a coarse grid, and of a* and b* on a coarser one. Two fingerprints are
compared after their means are taken off, so that a slight change of exposure or of colour
temperature leaves the difference small, while the arrangement in the frame decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import cell_light, cell_means, lab_from_linear

LIGHTNESS_SIDE = 16
"""Cells along each side for lightness: a plate moved by a tenth of the frame crosses two."""

CHROMA_SIDE = 8
"""Cells along each side for a* and b*."""

COARSE_LONGEST_SIDE = 128
"""Cells of the first reduction; only for speed."""

CHROMA_WEIGHT = 2.0
"""Weight of each cell of a* and b*: four times fewer cells, half of whose energy counts."""

FLAT_LAB = 2.0
"""Standard deviation, CIELAB units, taken as the grain of an even field: without it the layout of
two empty frames would be compared noise with noise."""

MEAN_COLOUR_RANGE_LAB = 60.0
"""Difference of mean colour, CIELAB units, that alone makes two pictures unrelated."""

NEAR_DUPLICATE_DIFFERENCE = 0.3
"""Fingerprint difference up to which two pictures are near-duplicates.

On 56 photographs of dishes: recompressed or at half size at most 0.04, a third of a stop at most
0.13, 35 mired at most 0.18, the camera moved by 1 % of the frame at most 0.21, by 2 % 0.23 in the
middle. All 13861 pairs of 167 different photographs: at least 0.51."""


def fingerprint(pixels: NDArray[np.uint8]) -> str:
    """Fingerprint of (H, W, 3) uint8 sRGB pixels, as hexadecimal text of fixed length.

    Pictures with fewer than `LIGHTNESS_SIDE` pixels on a side are enlarged by repetition.
    """
    light = cell_light(pixels, COARSE_LONGEST_SIDE)
    repeat = [max(1, -(-LIGHTNESS_SIDE // side)) for side in light.shape[:2]]
    lab = lab_from_linear(np.kron(light, np.ones((*repeat, 1), dtype=np.float32)))
    lightness = cell_means(lab[..., 0], LIGHTNESS_SIDE, LIGHTNESS_SIDE)
    chroma = cell_means(lab[..., 1:], CHROMA_SIDE, CHROMA_SIDE)
    values = np.concatenate([lightness.ravel() * 2.55, chroma.ravel() + 128])
    return bytes(np.clip(np.rint(values), 0, 255).astype(np.uint8)).hex()


@dataclass(frozen=True, slots=True)
class Layouts:
    """Fingerprints of N pictures, decoded once to be compared with many others.

    Attributes
    ----------
    weighted : (N, 384) float array
        Weighted layouts of lightness, a* and b*, each without its mean.
    means : (N, 3) float array
        Mean CIELAB colours.
    """

    weighted: NDArray[np.float64]
    means: NDArray[np.float64]

    def part(self, start: int, stop: int | None = None) -> Layouts:
        """The layouts from one picture on, up to another."""
        return Layouts(self.weighted[start:stop], self.means[start:stop])


def decode_fingerprints(texts: Sequence[str]) -> Layouts:
    """Decode fingerprints.

    Raises
    ------
    ValueError
        If a text is not a fingerprint of this version.
    """
    n_bytes = LIGHTNESS_SIDE**2 + 2 * CHROMA_SIDE**2
    if any(len(text) != 2 * n_bytes for text in texts):
        raise ValueError("not a fingerprint of this version")
    packed = np.frombuffer(bytes.fromhex("".join(texts)), dtype=np.uint8)
    values = packed.reshape(len(texts), n_bytes).astype(np.float64)
    lightness = values[:, : LIGHTNESS_SIDE**2] / 2.55
    chroma = values[:, LIGHTNESS_SIDE**2 :].reshape(len(texts), CHROMA_SIDE**2, 2) - 128
    means = np.column_stack([lightness.mean(axis=1), chroma.mean(axis=1)])
    weighted = (chroma - means[:, np.newaxis, 1:]) * CHROMA_WEIGHT
    flat = weighted.reshape(len(texts), 2 * CHROMA_SIDE**2)
    return Layouts(np.hstack([lightness - means[:, :1], flat]), means)


def fingerprint_differences(first: Layouts, second: Layouts) -> NDArray[np.float64]:
    """`fingerprint_difference` of each of N pictures and each of M others, (N, M).

    By one product of matrices, with an error of up to about 1e-7 near 0.
    """
    energy = _squares(first.weighted)[:, np.newaxis] + _squares(second.weighted)
    layout = energy - 2 * first.weighted @ second.weighted.T
    layout /= energy + 2 * first.weighted.shape[1] * FLAT_LAB**2
    colour = _squares(first.means)[:, np.newaxis] + _squares(second.means)
    colour -= 2 * first.means @ second.means.T
    # Rounding can leave a difference of equal pictures a little below 0.
    return np.sqrt(np.maximum(layout + colour / MEAN_COLOUR_RANGE_LAB**2, 0))


def fingerprint_difference(first: str, second: str) -> float:
    """How different two fingerprints are: 0 the same picture, about 1 unrelated pictures.

    The root of the energy of the difference of two layouts over the sum of their energies: 1
    where they have nothing in common, up to 1.41 where one is the negative of the other.

    Raises
    ------
    ValueError
        If a text is not a fingerprint of this version.
    """
    pair = decode_fingerprints([first, second])
    energy = float(_squares(pair.weighted).sum()) + 2 * pair.weighted.shape[1] * FLAT_LAB**2
    layout = float((np.diff(pair.weighted, axis=0) ** 2).sum()) / energy
    colour = float((np.diff(pair.means, axis=0) ** 2).sum()) / MEAN_COLOUR_RANGE_LAB**2
    return float(np.sqrt(layout + colour))


def _squares(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    squares: NDArray[np.float64] = np.einsum("ij,ij->i", vectors, vectors)
    return squares

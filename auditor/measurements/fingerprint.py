"""A small fingerprint of a picture, to find near-duplicates.

The layout of lightness on a coarse grid, and of a* and b* on a coarser one. Fingerprints are
compared after subtracting their means: a small change of exposure or of colour temperature then
makes little difference, and the arrangement in the frame decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import cell_light, cell_means, lab_from_linear

LIGHTNESS_SIDE = 16
"""Cells along each side for lightness: a plate moved by a tenth of the frame moves by two."""

CHROMA_SIDE = 8
"""Cells along each side for a* and b*."""

COARSE_LONGEST_SIDE = 128
"""Cells along the longest side in the first reduction; only for speed."""

CHROMA_WEIGHT = 2.0
"""Weight of a* and b*, squared in the energy: they have four times fewer cells than lightness."""

FLAT_LAB = 2.0
"""Standard deviation of the grain of a uniform area, CIELAB units. It is added to the energy, since
the layouts of two empty frames would otherwise be compared by their noise."""

MEAN_COLOUR_RANGE_LAB = 60.0
"""Difference of mean colour, CIELAB units, that by itself gives a fingerprint difference of 1."""

NEAR_DUPLICATE_DIFFERENCE = 0.3
"""Fingerprint difference up to which two pictures are near-duplicates.

On 56 photographs of dishes: recompressed or at half size at most 0.04, a third of a stop at most
0.13, 35 mired at most 0.18, the camera moved by 1 % of the frame at most 0.21, by 2 % 0.23
(median). All 13861 pairs of 167 different photographs: at least 0.51."""

# Encoding in bytes: L* in [0, 100] is scaled, a* and b* are shifted.
BYTES_PER_LIGHTNESS = 2.55
CHROMA_OFFSET = 128


def fingerprint(pixels: NDArray[np.uint8]) -> str:
    """Compute the fingerprint of a picture.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB. Pictures with fewer than `LIGHTNESS_SIDE` pixels on a side are enlarged by repetition.

    Returns
    -------
    str
        Hexadecimal, of fixed length.
    """
    light = cell_light(pixels, COARSE_LONGEST_SIDE)
    repeat = [max(1, -(-LIGHTNESS_SIDE // side)) for side in light.shape[:2]]
    lab = lab_from_linear(np.kron(light, np.ones((*repeat, 1), dtype=np.float32)))
    lightness = cell_means(lab[..., 0], LIGHTNESS_SIDE, LIGHTNESS_SIDE)
    chroma = cell_means(lab[..., 1:], CHROMA_SIDE, CHROMA_SIDE)
    values = np.concatenate(
        [lightness.ravel() * BYTES_PER_LIGHTNESS, chroma.ravel() + CHROMA_OFFSET]
    )
    return bytes(np.clip(np.rint(values), 0, 255).astype(np.uint8)).hex()


@dataclass(frozen=True, slots=True)
class Layouts:
    """Decoded fingerprints of N pictures.

    Attributes
    ----------
    weighted : (N, 384) float array
        Weighted layouts of lightness, a* and b*, with their means subtracted.
    means : (N, 3) float array
        Mean CIELAB colours.
    """

    weighted: NDArray[np.float64]
    means: NDArray[np.float64]

    def part(self, start: int, stop: int | None = None) -> Layouts:
        """Select the pictures from `start` up to `stop`."""
        return Layouts(self.weighted[start:stop], self.means[start:stop])


def decode_fingerprints(texts: Sequence[str]) -> Layouts:
    """Decode fingerprints, so that they can be compared with many others.

    Raises
    ------
    ValueError
        If one of them is not a fingerprint of this version.
    """
    n_bytes = LIGHTNESS_SIDE**2 + 2 * CHROMA_SIDE**2
    if any(len(text) != 2 * n_bytes for text in texts):
        raise ValueError("not a fingerprint of this version")
    packed = np.frombuffer(bytes.fromhex("".join(texts)), dtype=np.uint8)
    values = packed.reshape(len(texts), n_bytes).astype(np.float64)
    lightness = values[:, : LIGHTNESS_SIDE**2] / BYTES_PER_LIGHTNESS
    chroma = values[:, LIGHTNESS_SIDE**2 :].reshape(len(texts), CHROMA_SIDE**2, 2) - CHROMA_OFFSET
    means = np.column_stack([lightness.mean(axis=1), chroma.mean(axis=1)])
    weighted = (chroma - means[:, np.newaxis, 1:]) * CHROMA_WEIGHT
    flat = weighted.reshape(len(texts), 2 * CHROMA_SIDE**2)
    return Layouts(np.hstack([lightness - means[:, :1], flat]), means)


def fingerprint_differences(first: Layouts, second: Layouts) -> NDArray[np.float64]:
    """Compute `fingerprint_difference` between each of N pictures and each of M others, (N, M).

    It is computed by a matrix product, with an error of up to about 1e-7 near 0.
    """
    energy = _squares(first.weighted)[:, np.newaxis] + _squares(second.weighted)
    layout = energy - 2 * first.weighted @ second.weighted.T
    layout /= energy + 2 * first.weighted.shape[1] * FLAT_LAB**2
    colour = _squares(first.means)[:, np.newaxis] + _squares(second.means)
    colour -= 2 * first.means @ second.means.T
    # Rounding errors can make the squared difference of equal pictures slightly negative.
    return np.sqrt(np.maximum(layout + colour / MEAN_COLOUR_RANGE_LAB**2, 0))


def fingerprint_difference(first: str, second: str) -> float:
    """Compute the difference between two fingerprints.

    The root of the energy of the difference between the layouts relative to the sum of their
    energies, combined with the difference between the mean colours.

    Returns
    -------
    float
        0 for the same picture, about 1 for unrelated pictures, up to 1.41 for the same mean colour
        and opposite layouts.

    Raises
    ------
    ValueError
        If one of them is not a fingerprint of this version.
    """
    pair = decode_fingerprints([first, second])
    energy = float(_squares(pair.weighted).sum()) + 2 * pair.weighted.shape[1] * FLAT_LAB**2
    layout = float((np.diff(pair.weighted, axis=0) ** 2).sum()) / energy
    colour = float((np.diff(pair.means, axis=0) ** 2).sum()) / MEAN_COLOUR_RANGE_LAB**2
    return float(np.sqrt(layout + colour))


def _squares(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    squares: NDArray[np.float64] = np.einsum("ij,ij->i", vectors, vectors)
    return squares

"""Pieces of one kind: what touches and is alike in colour."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import lab_from_pixels

CONTACT_PX = 4  # of the maps, two of the finder's own: things this near touch
# CIELAB, between mean colours: pieces of one kind in one light. Searched by
# `tests/benchmarks/check_elements.py TABLES --fit`.
ALIKE_DELTA_E = 6.0

Labels = NDArray[np.int32]


class Kinds:
    """Says which parts of a picture are of one kind.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    parts : (h, w) int32 array
        Covers the same frame; 0 is ground.
    """

    def __init__(self, pixels: NDArray[np.uint8], parts: Labels) -> None:
        self._pixels, self._parts = pixels, parts

    def grouped(self, parts: Labels, *, least_size_ratio: float) -> Labels:
        """Give one label to parts that touch and are alike in colour and size.

        `parts` are those that this was made with, some of them perhaps ground by now.
        """
        pairs = _touching(parts)
        if not pairs:
            return parts
        sizes = np.bincount(parts.ravel())
        name = np.arange(sizes.size, dtype=np.int32)
        for a, b in pairs:
            small, large = sorted((int(sizes[a]), int(sizes[b])))
            near = float(np.linalg.norm(self._colours[a] - self._colours[b])) < ALIKE_DELTA_E
            if near and small > least_size_ratio * large:
                name[name == name[b]] = name[a]
        return name[parts]

    @cached_property
    def _colours(self) -> NDArray[np.float64]:
        """Mean colour of each part, (n, 3), CIELAB."""
        height, width = self._parts.shape
        row, column = np.nonzero(self._parts)
        seen = self._pixels[
            row * self._pixels.shape[0] // height, column * self._pixels.shape[1] // width
        ]
        lab, part = lab_from_pixels(seen), self._parts[row, column]
        sums = np.stack([np.bincount(part, weights=lab[:, c]) for c in range(3)], axis=-1)
        return np.asarray(sums / np.maximum(np.bincount(part), 1)[:, np.newaxis])


def _touching(parts: Labels) -> list[tuple[int, int]]:
    """Pairs of labels no further apart than `CONTACT_PX`, in order."""
    step = CONTACT_PX
    pairs: set[tuple[int, int]] = set()
    for a, b in ((parts[:, :-step], parts[:, step:]), (parts[:-step], parts[step:])):
        touch = (a != b) & (a > 0) & (b > 0)
        first, second = a[touch], b[touch]
        lower, upper = np.minimum(first, second), np.maximum(first, second)
        pairs |= set(zip(lower.tolist(), upper.tolist(), strict=True))
    return sorted(pairs)

"""Grouping of pieces of one kind: parts that touch and have similar colours."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import lab_from_pixels

CONTACT_PX = 4  # largest distance of touching parts, px of the maps; 2 px of the finder's own maps
# Largest difference of the mean colours of pieces of one kind, CIELAB. Fitted with
# `tests/benchmarks/check_elements.py TABLES --fit`.
ALIKE_DELTA_E = 6.0

Labels = NDArray[np.int32]


class PartGrouper:
    """Groups the parts of a picture that are of one kind.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    parts : (h, w) int32 array
        Labels of the parts, covering the same frame; 0 where there is none.
    """

    def __init__(self, pixels: NDArray[np.uint8], parts: Labels) -> None:
        self._pixels, self._parts = pixels, parts

    def group(self, parts: Labels, *, min_size_ratio: float) -> Labels:
        """Give the same label to parts that touch and are similar in colour and size.

        Parameters
        ----------
        parts : (h, w) int32 array
            The labels that the grouper was made with; some may have been set to 0 since.
        min_size_ratio : float
            Least ratio of the areas of two parts.
        """
        pairs = _touching(parts)
        if not pairs:
            return parts
        sizes = np.bincount(parts.ravel())
        new_label = np.arange(sizes.size, dtype=np.int32)
        for a, b in pairs:
            small, large = sorted((int(sizes[a]), int(sizes[b])))
            near = float(np.linalg.norm(self._colours[a] - self._colours[b])) < ALIKE_DELTA_E
            if near and small > min_size_ratio * large:
                new_label[new_label == new_label[b]] = new_label[a]
        return new_label[parts]

    @cached_property
    def _colours(self) -> NDArray[np.float64]:
        """Mean CIELAB colour of each part, (n, 3)."""
        height, width = self._parts.shape
        row, column = np.nonzero(self._parts)
        colours = self._pixels[
            row * self._pixels.shape[0] // height, column * self._pixels.shape[1] // width
        ]
        lab, part = lab_from_pixels(colours), self._parts[row, column]
        sums = np.stack([np.bincount(part, weights=lab[:, c]) for c in range(3)], axis=-1)
        return np.asarray(sums / np.maximum(np.bincount(part), 1)[:, np.newaxis])


def _touching(parts: Labels) -> list[tuple[int, int]]:
    """Pairs of labels no farther apart than `CONTACT_PX`, sorted."""
    step = CONTACT_PX
    pairs: set[tuple[int, int]] = set()
    for a, b in ((parts[:, :-step], parts[:, step:]), (parts[:-step], parts[step:])):
        touch = (a != b) & (a > 0) & (b > 0)
        first, second = a[touch], b[touch]
        lower, upper = np.minimum(first, second), np.maximum(first, second)
        pairs |= set(zip(lower.tolist(), upper.tolist(), strict=True))
    return sorted(pairs)

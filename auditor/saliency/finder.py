"""The interface of a subject finder: pixels in, maps out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from PIL import Image

MAP_SIDE_PX = 256  # longest side of maps resized to a frame's shape: twice the network's output


@dataclass(frozen=True, slots=True)
class SubjectMaps:
    """Probability maps of the subject and of the placed things.

    Attributes
    ----------
    subject : (h, w) float32 array
        In [0, 1], high on the picture's subject (the dish with its food).
    elements : (h, w) float32 array
        In [0, 1], high on anything placed in the frame, the subject included; low on a cloth or
        board under everything, which is background.
    cores : (h, w) float32 array
        In [0, 1], high on the inner part of each placed thing, which separates things that touch.
    """

    subject: NDArray[np.float32]
    elements: NDArray[np.float32]
    cores: NDArray[np.float32]

    def in_frame(self, width: int, height: int) -> SubjectMaps:
        """Resize the maps to square pixels in a frame of the given proportions."""
        scale = MAP_SIDE_PX / max(width, height)
        size = (max(1, round(width * scale)), max(1, round(height * scale)))
        return SubjectMaps(
            _resized(self.subject, size),
            _resized(self.elements, size),
            _resized(self.cores, size),
        )


class SubjectFinder(Protocol):
    """Anything that finds the subject of a picture."""

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things.

        Parameters
        ----------
        pixels : (H, W, 3) uint8 array
            sRGB as displayed, any size.

        Returns
        -------
        SubjectMaps
            They cover the same frame, at a size of their own.

        Raises
        ------
        ValueError
            If the array is empty or of another shape or type.
        """
        ...


def _resized(plane: NDArray[np.float32], size: tuple[int, int]) -> NDArray[np.float32]:
    picture = Image.fromarray(plane).resize(size, Image.Resampling.BILINEAR)
    return np.asarray(picture, dtype=np.float32)

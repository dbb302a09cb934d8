"""The interface behind which a subject finder stands: pixels in, maps out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class SubjectMaps:
    """Where the subject and the placed things are.

    Attributes
    ----------
    subject : (h, w) float32 array
        In [0, 1], higher where the picture's subject (the dish with its food) is.
    elements : (h, w) float32 array
        In [0, 1], higher where anything placed in the frame is, the subject included; a cloth or
        board under everything is ground and low.
    """

    subject: NDArray[np.float32]
    elements: NDArray[np.float32]


class SubjectFinder(Protocol):
    """Anything that finds the subject of a picture."""

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things.

        Parameters
        ----------
        pixels : (H, W, 3) uint8 array
            sRGB as displayed, any size; the maps cover the same frame at a size of their own.
        """
        ...

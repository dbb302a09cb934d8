"""Subject finders of a caller's own, which other processes can import."""

from __future__ import annotations

import os
import signal

import numpy as np
from numpy.typing import NDArray

from auditor.saliency.finder import SubjectMaps

# Windows has no SIGKILL; there, SIGTERM ends a process at once.
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)
DEADLY_COLOUR = (255, 0, 255)


class LeftHalfFinder:
    """Takes the middle of the left half for the subject."""

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things."""
        subject = np.zeros((96, 96), np.float32)
        subject[32:64, 8:40] = 1
        assert pixels.ndim == 3
        return SubjectMaps(subject, subject, subject)


class DeadlyFinder(LeftHalfFinder):
    """Kills its own process when it sees a picture of one colour."""

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things, or end the process."""
        if np.abs(pixels.mean(axis=(0, 1)) - DEADLY_COLOUR).max() < 1:
            os.kill(os.getpid(), KILL)
        return super().find(pixels)

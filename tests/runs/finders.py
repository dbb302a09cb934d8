"""Subject finders of a caller's own, which other processes can import."""

from __future__ import annotations

import os
import signal
import time

import numpy as np
from numpy.typing import NDArray

from auditor.saliency.finder import SubjectMaps

# Windows has no SIGKILL; there, SIGTERM ends a process at once.
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)
DEADLY_COLOUR = (255, 0, 255)
HANGING_COLOUR = (0, 255, 255)


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


class HangingFinder(DeadlyFinder):
    """Also never comes to an end when it sees a picture of another colour."""

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things, or end the process, or wait."""
        if np.abs(pixels.mean(axis=(0, 1)) - HANGING_COLOUR).max() < 1:
            time.sleep(1000)
        return super().find(pixels)


class TwoDishesFinder:
    """Finds two equal dishes, in the middle of the left and of the right half of the long side."""

    def find(self, pixels: NDArray[np.uint8]) -> SubjectMaps:
        """Map the subject and the placed things."""
        height, width = pixels.shape[:2]
        y, x = np.mgrid[:96, :96] / 96 + 1 / 192
        along, across = (x, y) if width >= height else (y, x)
        dishes = sum(
            np.hypot((along - place) * 4, (across - 0.5) * 3) <= 0.9 for place in (0.25, 0.75)
        )
        field = np.asarray(dishes, dtype=np.float32)
        return SubjectMaps(field, field, field)

"""Stability of the subject under changes of the picture that do not move it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps

from auditor.colorimetry.srgb import linear_from_srgb, srgb_from_linear
from auditor.geometry import describe_mask, distance_fraction
from auditor.measurements.subject import FoundSubject
from tests.benchmarks.check_subject_kinds import find

JPEG_QUALITY = 60
EXPOSURE_EV = 1 / 3
CROPPED_SHARE = 0.05  # of the width or height, at one side at a time
STILL = 0.01  # of the diagonal: too small to count as a move

Mask = NDArray[np.bool_]


@dataclass
class Moves:
    """Effects of one kind of change over many pictures."""

    moved: list[float] = field(default_factory=list)
    n_flips: int = 0
    n_unanswered: int = 0

    def add(self, before: Mask, after: FoundSubject, size: tuple[int, int]) -> None:
        """Compare the mask expected in the changed picture with the subject found there."""
        expected, found = describe_mask(before), after.region.value
        if expected is None and found is None:
            self.n_unanswered += 1
        elif expected is None or found is None:
            self.n_flips += 1
        else:
            self.moved.append(distance_fraction(found.centroid, expected.centroid, *size))

    def rows(self) -> dict[str, str]:
        """Lines of the table."""
        moved = np.array(self.moved)
        return {
            "compared": str(moved.size),
            "95th percentile of the move": f"{np.quantile(moved, 0.95):.4f}",
            f"moved at most {STILL}": f"{(moved <= STILL).mean():.3f}",
            "reported before or after only": str(self.n_flips),
            "not reported both times": str(self.n_unanswered),
        }


def check_steadiness(folder: Path) -> dict[str, dict[str, str]]:
    """A column for each kind of change, over all pictures of a folder."""
    changes: dict[str, Moves] = {}
    for path in sorted(folder.glob("*.jpg")):
        with Image.open(path) as file:
            picture = file.convert("RGB")
        before = find(picture)[1].mask
        for name, changed, expected in _changed(picture, before):
            moves = changes.setdefault(name, Moves())
            moves.add(expected, find(changed)[1], changed.size)
    return {name: moves.rows() for name, moves in changes.items()}


def _changed(picture: Image.Image, mask: Mask) -> Iterator[tuple[str, Image.Image, Mask]]:
    """Name of the change, the changed picture, and the mask expected in it."""
    width, height = picture.size
    yield "mirrored", ImageOps.mirror(picture), mask[:, ::-1]
    yield "half size", picture.resize((width // 2, height // 2), Image.Resampling.LANCZOS), mask
    yield f"JPEG {JPEG_QUALITY}", _compressed(picture), mask
    yield "+1/3 EV", _brightened(picture), mask
    for box in (
        (CROPPED_SHARE, 0, 1, 1),
        (0, CROPPED_SHARE, 1, 1),
        (0, 0, 1 - CROPPED_SHARE, 1),
        (0, 0, 1, 1 - CROPPED_SHARE),
    ):
        left, top, right, bottom = (
            round(side * length) for side, length in zip(box, (width, height) * 2, strict=True)
        )
        # The mask at the picture's size, so that it is cropped by the same pixels.
        full = np.asarray(Image.fromarray(mask).resize(picture.size))
        cropped = picture.crop((left, top, right, bottom))
        yield f"{CROPPED_SHARE:.0%} cropped", cropped, full[top:bottom, left:right]


def _compressed(picture: Image.Image) -> Image.Image:
    file = BytesIO()
    picture.save(file, "JPEG", quality=JPEG_QUALITY)
    return Image.open(file).convert("RGB")


def _brightened(picture: Image.Image) -> Image.Image:
    linear = linear_from_srgb(np.asarray(picture) / 255) * 2**EXPOSURE_EV
    return Image.fromarray(np.round(255 * srgb_from_linear(np.clip(linear, 0, 1))).astype(np.uint8))

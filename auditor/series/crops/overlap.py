"""Whether two pictures show the same where one lies on the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter

from auditor.colorimetry import gaussian_weights
from auditor.series.crops.framing import Frame, Framing

Floats = NDArray[np.float64]

SIGMA_CELLS = 1.0
"""Blur under which pictures are compared, in the larger of their cells: both are then smooth, so
that they can be read between cells."""

MARGIN_SIGMAS = 2.0
"""Left out along the sides of what is shared, where one picture has neighbours and the other has
none."""

MOST_PLACES = 48
"""Compared along each side. As many as the cells of the whole in a crop to its half."""

LEAST_PLACES = 10
"""Compared along each side. Less shows too little to say that a picture is the same."""

N_STEPS = 3
"""Of the fit by least squares. A fourth moved none of 40 crops by more than 0.00004 of the longest
side."""

LARGEST_STEP = 0.03
"""Of the longest side, for scale and offset. The keypoints are nearer than that."""

WHITE_LIGHTNESS = 97.0
"""CIELAB lightness. Above, one of the pictures may be clipped where the other is not."""

LEAST_COMPARED_SHARE = 0.1
"""Of the places, below white; less shows too little."""

LEAST_FIRST_CORRELATION = 0.9
"""Before the fit. That of the same photograph is higher, as the keypoints are right to a cell."""

DETAIL_PLACES = 5
"""Side of the square whose mean is subtracted to leave the detail."""

BLOCK_PLACES = 6
"""Side of the blocks in which the detail is compared: about an eighth of what is shared, the size
of a garnish that was moved from one frame to the next."""

FAINT_DETAIL = 1.0
"""CIELAB lightness. It is added to the detail of a block, since a block without any would otherwise
be compared by its noise."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """How far two pictures show the same.

    Attributes
    ----------
    framing : Framing
        How the second lies in the first, fitted to what they show.
    correlation : float
        Of lightness, in [-1, 1].
    detail_correlation : float
        Of lightness without its mean over the neighbourhood, in [-1, 1].
    block_difference : float
        Of this detail in the block that differs most, relative to the detail there: 0 for the same,
        above 1 for another thing.
    """

    framing: Framing
    correlation: float
    detail_correlation: float
    block_difference: float


@dataclass(frozen=True, slots=True)
class ReducedPicture:
    """The lightness of a picture, (rows, columns), and the sides of its frame."""

    lightness: NDArray[np.float32]
    frame: Frame

    @property
    def cell(self) -> float:
        """Side of a cell, as a fraction of the longest side."""
        rows, columns = self.lightness.shape
        return float(max(self.frame.height / rows, self.frame.width / columns))


class _Reader:
    """Reads two pictures at the same places under the same blur."""

    def __init__(self, first: ReducedPicture, second: ReducedPicture, framing: Framing) -> None:
        self._first = first
        self._blur = _Blur(first.cell, second.cell * framing.scale)
        shared = framing.shared(first.frame, second.frame)
        margin = MARGIN_SIGMAS * self._blur.sigma
        self.x1 = _places(shared.left + margin, shared.right - margin, self._blur.cell)
        self.y1 = _places(shared.top + margin, shared.bottom - margin, self._blur.cell)
        self.x2 = (self.x1 - framing.x) / framing.scale
        self.y2 = (self.y1 - framing.y) / framing.scale
        self.is_enough = min(len(self.x1), len(self.y1)) >= LEAST_PLACES
        if self.is_enough:
            sigma = self._blur.sigma_of(second.cell * framing.scale) / framing.scale
            self.second = _read(second, self.x2, self.y2, sigma)

    def first(self, framing: Framing) -> Floats:
        """The first picture where, by `framing`, it shows what was read of the second."""
        x, y = framing.scale * self.x2 + framing.x, framing.scale * self.y2 + framing.y
        return _read(self._first, x, y, self._blur.sigma_of(self._first.cell))


class _Blur:
    """The blur that two pictures are brought to, in lengths of the first."""

    def __init__(self, *cells: float) -> None:
        self.cell = max(cells)
        self.sigma = SIGMA_CELLS * self.cell

    def sigma_of(self, cell: float) -> float:
        """What brings a picture to the same blur; finer cells have blurred it less already."""
        # A cell is a mean over its side: a variance of 1/12 of its square.
        return float(np.sqrt(self.sigma**2 + (self.cell**2 - cell**2) / 12))


def _places(start: float, stop: float, cell: float) -> Floats:
    """Places spread evenly, about a cell apart."""
    n = min(MOST_PLACES, int((stop - start) / cell)) if stop > start else 0
    places: Floats = start + (np.arange(n) + 0.5) / max(n, 1) * (stop - start)
    return places


def _read(picture: ReducedPicture, x: Floats, y: Floats, sigma: float) -> Floats:
    rows, columns = picture.lightness.shape
    down, along = rows / picture.frame.height, columns / picture.frame.width
    read: Floats = (
        gaussian_weights(y * down, rows, sigma * down)
        @ picture.lightness
        @ gaussian_weights(x * along, columns, sigma * along).T
    )
    return read


def compare_overlap(
    first: ReducedPicture, second: ReducedPicture, framing: Framing
) -> Comparison | None:
    """Lay the second picture on the first as well as possible and compare them there.

    Returns
    -------
    Comparison or None
        None where they share too little, or show something else at the first look.
    """
    reader = _Reader(first, second, framing)
    if not reader.is_enough:
        return None
    read = reader.first(framing)
    compared = _below_white(read, reader.second)
    if _correlation(read, reader.second, compared) < LEAST_FIRST_CORRELATION:
        return None
    for _ in range(N_STEPS):
        framing = _improved(framing, reader, read, compared)
        read = reader.first(framing)
        compared = _below_white(read, reader.second)
    detail, other_detail = _detail(read), _detail(reader.second)
    return Comparison(
        framing,
        _correlation(read, reader.second, compared),
        _correlation(detail, other_detail, compared),
        _block_difference(detail, other_detail, compared),
    )


def _below_white(one: Floats, other: Floats) -> NDArray[np.bool_]:
    below: NDArray[np.bool_] = np.maximum(one, other) < WHITE_LIGHTNESS
    return below


def _correlation(one: Floats, other: Floats, compared: NDArray[np.bool_]) -> float:
    """Of the compared places; 0 where they are too few or uniform."""
    if np.count_nonzero(compared) < LEAST_COMPARED_SHARE * compared.size:
        return 0.0
    a, b = one[compared], other[compared]
    a, b = a - a.mean(), b - b.mean()
    energy = float((a @ a) * (b @ b))
    return float(a @ b) / float(np.sqrt(energy)) if energy > 0 else 0.0


def _detail(values: Floats) -> Floats:
    detail: Floats = values - uniform_filter(values, DETAIL_PLACES, mode="nearest")
    return detail


def _block_difference(one: Floats, other: Floats, compared: NDArray[np.bool_]) -> float:
    """Root mean square of the difference of two details relative to theirs, in the worst block."""
    one, other = np.where(compared, one, 0.0), np.where(compared, other, 0.0)
    energy = float((one * one).sum())
    gain = float((one * other).sum()) / energy if energy > 0 else 1.0
    one = one * gain
    counts = np.maximum(_block_sums(compared.astype(np.float64)), 1)
    difference = np.sqrt(_block_sums((one - other) ** 2) / counts)
    detail = np.sqrt(_block_sums(one**2 + other**2) / 2 / counts)
    return float((difference / (detail + FAINT_DETAIL)).max())


def _block_sums(values: Floats) -> Floats:
    rows, columns = (
        np.linspace(0, n, max(1, round(n / BLOCK_PLACES)) + 1).astype(np.intp)[:-1]
        for n in values.shape
    )
    sums: Floats = np.add.reduceat(np.add.reduceat(values, rows, axis=0), columns, axis=1)
    return sums


def _improved(
    framing: Framing, reader: _Reader, read: Floats, compared: NDArray[np.bool_]
) -> Framing:
    """One step of least squares for scale, offset, gain and level (Lucas and Kanade 1981)."""
    by_y = np.gradient(read, reader.y1, axis=0)
    by_x = np.gradient(read, reader.x1, axis=1)
    by_scale = by_x * reader.x2 + by_y * reader.y2[:, np.newaxis]
    columns = [by_scale, by_x, by_y, read, np.ones_like(read)]
    slopes = np.stack([column[compared] for column in columns], axis=1)
    seen = reader.second[compared]
    # The gain is near 1, so that the slopes of the first picture stand for those of the second.
    answer, *_ = np.linalg.lstsq(slopes.T @ slopes, slopes.T @ seen, rcond=None)
    gain = answer[3] if answer[3] > 0 else 1.0
    steps = np.clip(answer[:3] / gain, -LARGEST_STEP, LARGEST_STEP)
    scale, x, y = (float(step) for step in steps)
    return Framing(framing.scale + scale, framing.x + x, framing.y + y)

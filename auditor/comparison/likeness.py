"""Whether pictures show the same food on the same dish, by the colours of their subjects."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from auditor.comparison.hints import Matrix
from auditor.measurements.measured_photograph import MeasuredPhotograph

# Standard deviation of the colours of one subject in several pictures of a shot. Unit: CIELAB
# (our choice, no source).
COLOUR_DEVIATION = 6.0


def likeness(
    pictures: Sequence[MeasuredPhotograph], compared: NDArray[np.intp] | None = None
) -> Matrix:
    """How alike the colours of the subjects of two pictures are, in [0, 1].

    Of each colour the nearest one of the other subject counts, by its share.

    Parameters
    ----------
    pictures : sequence of MeasuredPhotograph
    compared : (C,) int array or None
        The pictures of the rows, by their places; None for all.

    Returns
    -------
    (C, P) array
        0 where a picture has no subject.
    """
    owners = np.array(
        [at for at, one in enumerate(pictures) for _ in one.subject_palette], dtype=np.intp
    )
    places = np.arange(len(pictures)) if compared is None else compared
    near = np.zeros((len(places), len(pictures)))
    if not len(owners):
        return near
    swatches = [swatch for one in pictures for swatch in one.subject_palette]
    labs = np.array([swatch.lab for swatch in swatches])
    shares = np.array([swatch.share for swatch in swatches])
    weights = shares / np.bincount(owners, shares, minlength=len(pictures))[owners]
    starts = np.flatnonzero(np.diff(owners, prepend=-1))
    seen = owners[starts]
    for row, place in zip(near, places, strict=True):
        own = slice(*np.searchsorted(owners, [place, place + 1]))
        if own.start == own.stop:
            continue
        squares = np.square(labs[own, np.newaxis] - labs).sum(axis=2)
        there = weights[own] @ np.sqrt(np.minimum.reduceat(squares, starts, axis=1))
        back = np.add.reduceat(np.sqrt(squares.min(axis=0)) * weights, starts)
        row[seen] = np.exp(-0.5 * ((there + back) / 2 / COLOUR_DEVIATION) ** 2)
    return near

"""Whether pictures show the same food on the same dish, by the colours of their subjects."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from auditor.comparison.hints import Matrix
from auditor.measurements.measured_photograph import MeasuredPhotograph

# Standard deviation of the colours of one subject in several pictures of a shot. Unit: CIELAB
# (our choice, no source).
COLOUR_DEVIATION = 6.0


def likeness(pictures: Sequence[MeasuredPhotograph]) -> Matrix:
    """How alike the colours of the subjects of two pictures are, in [0, 1].

    Of each colour the nearest one of the other subject counts, by its share.

    Returns
    -------
    (P, P) array
        0 where a picture has no subject.
    """
    owners = np.array(
        [at for at, one in enumerate(pictures) for _ in one.subject_palette], dtype=np.intp
    )
    near = np.zeros((len(pictures), len(pictures)))
    if not len(owners):
        return near
    swatches = [swatch for one in pictures for swatch in one.subject_palette]
    labs = np.array([swatch.lab for swatch in swatches])
    shares = np.array([swatch.share for swatch in swatches])
    totals = np.bincount(owners, shares, minlength=len(pictures))
    starts = np.flatnonzero(np.diff(owners, prepend=-1))
    seen = owners[starts]
    squares = np.array([((labs - one) ** 2).sum(axis=1) for one in labs])
    nearest = np.sqrt(np.minimum.reduceat(squares, starts, axis=1))
    weights = shares / totals[owners]
    away = np.add.reduceat(nearest * weights[:, np.newaxis], starts, axis=0)
    both = (away + away.T) / 2
    near[np.ix_(seen, seen)] = np.exp(-0.5 * (both / COLOUR_DEVIATION) ** 2)
    return near

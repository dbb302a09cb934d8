"""Rows of a JPEG that its decoder made up, because the data for them were missing.

libjpeg does not fail when the coded data end before the picture does, or when a part of them is
lost: every coefficient that is missing is 0, and a block without coefficients is mid-grey. A
progressive JPEG whose last scans are missing is only blurred; that cannot be seen here, and neither
can wrong data of the right length.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from PIL import Image

# A block of 0 coefficients in 8-bit samples (ITU-T T.81, A.3.1: level shift); inverted in CMYK.
_MID_GREY = {"L": 128, "RGB": 128, "CMYK": 127}

LEAST_ROWS = 8  # one row of blocks, below which a plain part of a picture would be enough
LEAST_FRACTION = 0.01  # of all rows; less is hardly seen, and is not worth a warning. No source
_N_SAMPLED = 16  # columns that are looked at first; nearly every picture ends there
_N_MIXED_ROWS = 2  # beside the boundary, where colour is interpolated from both sides


def undecoded_fraction(image: Image.Image) -> float:
    """Share of a loaded JPEG's rows, as stored, that are nothing but mid-grey.

    Parameters
    ----------
    image : Image
        Before its colours are converted.

    Returns
    -------
    float
        In [0, 1]; 0 below `LEAST_ROWS` or `LEAST_FRACTION`, and where the first row is grey too: it
        is then a border or a drawing.
    """
    grey = _MID_GREY.get(image.mode)
    if grey is None or image.height <= LEAST_ROWS:
        return 0.0
    sampled = _grey_where_sampled(image, grey)
    if sampled[0]:
        return 0.0
    n_rows = sum(
        below - above for above, below in _runs(sampled) if _is_one_value(image, grey, above, below)
    )
    return n_rows / image.height if n_rows >= LEAST_FRACTION * image.height else 0.0


def _grey_where_sampled(image: Image.Image, grey: int) -> NDArray[np.bool_]:
    """True for each row that is grey in all of some columns."""
    rows = np.ones(image.height, dtype=np.bool_)
    for column in np.linspace(0, image.width - 1, _N_SAMPLED).astype(int):
        part = np.asarray(image.crop((int(column), 0, int(column) + 1, image.height)))
        rows &= (part.reshape(image.height, -1) == grey).all(axis=1)
        if not rows.any():
            break
    return rows


def _runs(rows: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """First row and the row behind the last one, of each run of at least `LEAST_ROWS`."""
    changes = np.flatnonzero(np.diff(np.concatenate(([0], rows.astype(np.int8), [0]))))
    for above, below in zip(changes[::2], changes[1::2], strict=True):
        if below - above >= LEAST_ROWS:
            yield int(above), int(below)


def _is_one_value(image: Image.Image, grey: int, above: int, below: int) -> bool:
    end = below if below == image.height else below - _N_MIXED_ROWS
    extrema = image.crop((0, above + _N_MIXED_ROWS, image.width, end)).getextrema()
    bands = extrema if isinstance(extrema[0], tuple) else (extrema,)
    return all(band == (grey, grey) for band in bands)

"""The echo: whether the subject's main colour returns elsewhere in the frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from auditor.colorimetry import Lab, Swatch
from auditor.geometry import Box, Point, describe_mask
from auditor.measurements.palette.clusters import LabCells

ECHO_DIFFERENCE = 9.0
"""CIEDE2000 up to which a colour counts as the subject's: the limit at which a palette merges
shades of one colour."""

MIN_PLACE_SHARE = 0.002
"""Share of the frame below which a place is a speck, not an echo: a square of a twentieth of the
frame's side, a single berry (common practice, no source)."""

HALO_CELLS = 2
"""Cells around the subject that count as part of it: the error of its outline, about a hundredth
of the frame's side."""

MIN_TOUCHING_SHARE = 0.02
"""Share of the frame from which a place that touches the subject counts: a smaller one is a part
of the subject that its outline missed (common practice, no source)."""

MAX_PLACES = 5
"""Places listed, largest first; more are a pattern, which the share describes."""

GREY_WEIGHT = 10.0
"""CIELAB chroma added before colours are weighted by share times chroma. The main colour of a food
is then its own, not that of the larger white plate, nor of a garnish of a twentieth. No source."""


@dataclass(frozen=True, slots=True)
class EchoPlace:
    """One place where the colour returns; `share` is of the frame."""

    centroid: Point
    bbox: Box
    share: float


@dataclass(frozen=True, slots=True)
class Echo:
    """The subject's main colour elsewhere in the frame.

    Attributes
    ----------
    hex : str
        The subject's main colour as ``#rrggbb``.
    lab : tuple of float
        The same in CIELAB.
    share : float
        Share of the frame that has this colour outside the subject, in connected places of at
        least `MIN_PLACE_SHARE`; 0 if it does not return.
    places : tuple of EchoPlace
        The largest ones, largest first.
    """

    hex: str
    lab: Lab
    share: float
    places: tuple[EchoPlace, ...]


def main_colour(palette: Sequence[Swatch]) -> Swatch | None:
    """Main colour of a palette, by share and chroma; None if the palette is empty."""
    return max(
        palette,
        key=lambda swatch: swatch.share * (GREY_WEIGHT + float(np.hypot(*swatch.lab[1:]))),
        default=None,
    )


def find_echo(cells: LabCells, subject: NDArray[np.bool_], colour: Swatch) -> Echo:
    """Find a colour of the subject outside the subject.

    Parameters
    ----------
    cells : LabCells
    subject : (rows, columns) bool array
        Cells of the subject.
    colour : Swatch
    """
    halo = ndimage.binary_dilation(subject, iterations=HALO_CELLS)
    alike = cells.alike(colour.lab, ECHO_DIFFERENCE) & ~halo
    labels, n_places = ndimage.label(alike)
    shares = np.bincount(labels.ravel(), minlength=n_places + 1) / alike.size
    least = np.full(n_places + 1, MIN_PLACE_SHARE)
    least[np.unique(labels[ndimage.binary_dilation(halo)])] = MIN_TOUCHING_SHARE
    least[0] = np.inf
    counted = np.flatnonzero(shares >= least)
    largest = sorted(counted, key=lambda place: -float(shares[place]))[:MAX_PLACES]
    regions = [describe_mask(labels == place) for place in largest]
    places = tuple(EchoPlace(r.centroid, r.bbox, r.area_fraction) for r in regions if r is not None)
    return Echo(colour.hex, colour.lab, float(shares[counted].sum()), places)

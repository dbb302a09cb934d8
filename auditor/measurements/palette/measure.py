"""The colours of the whole frame, of the subject and of the ground."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation, binary_erosion

from auditor.colorimetry import Swatch, cell_light, lab_from_linear, on_grid
from auditor.measurements.palette.clusters import LabCells, main_colours
from auditor.measurements.palette.echo import Echo, find_echo, main_colour

GRID_LONGEST_SIDE = 160
"""Cells along the longest side: fine enough for a berry, coarse enough that bread is one colour."""

MIN_INNER_SHARE = 0.5
"""Share of a subject that must remain without its outline of mixed cells; else these count too."""

HIGH_CHROMA_PERCENTILE = 90.0
"""The most colourful tenth of a frame: the food, if the table is grey (no source)."""


@dataclass(frozen=True, slots=True)
class Saturation:
    """Colourfulness of a picture: CIELAB chroma C*, 0 if everything is grey.

    If one of two pictures of a scene was desaturated, all three values differ by that factor; if
    only their content differs, the three ratios are different.

    Attributes
    ----------
    mean_chroma, median_chroma : float
        Over the frame.
    high_chroma : float
        90th percentile over the frame.
    """

    mean_chroma: float
    median_chroma: float
    high_chroma: float


@dataclass(frozen=True, slots=True)
class Colours:
    """Colours of a picture; all shares are of the frame.

    Attributes
    ----------
    palette : tuple of Swatch
        Of the whole frame; shares sum to 1.
    subject_palette : tuple of Swatch
        Of the subject alone; empty without a subject.
    ground_palette : tuple of Swatch
        Of the area outside subject and elements; empty if they fill the frame.
    echo : Echo or None
        None without a subject. Counted, not estimated: it is as reliable as the subject.
    saturation : Saturation
    """

    palette: tuple[Swatch, ...]
    subject_palette: tuple[Swatch, ...]
    ground_palette: tuple[Swatch, ...]
    echo: Echo | None
    saturation: Saturation


def _cells(pixels: NDArray[np.uint8]) -> LabCells:
    return LabCells.of(lab_from_linear(cell_light(pixels, GRID_LONGEST_SIDE)))


def _whole(cells: LabCells) -> NDArray[np.bool_]:
    return np.ones(cells.lab.shape[:2], dtype=np.bool_)


def measure_palette(pixels: NDArray[np.uint8]) -> tuple[Swatch, ...]:
    """Main colours of (H, W, 3) uint8 sRGB pixels, largest share first; shares sum to 1."""
    cells = _cells(pixels)
    return main_colours(cells, _whole(cells))


def measure_colours(
    pixels: NDArray[np.uint8], subject: NDArray[np.bool_], occupied: NDArray[np.bool_]
) -> Colours:
    """Measure the colours of the frame and of its parts.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject : (h, w) bool array
        The subject, covering the frame; all False without a subject.
    occupied : (h, w) bool array
        Subject and elements.
    """
    cells = _cells(pixels)
    grid = cells.lab.shape[:2]
    inside = on_grid(subject, *grid)
    own = _scaled(main_colours(cells, _without_outline(inside)), float(inside.mean()))
    colour = main_colour(own)
    ground = ~binary_dilation(on_grid(occupied, *grid))
    return Colours(
        palette=main_colours(cells, _whole(cells)),
        subject_palette=own,
        ground_palette=main_colours(cells, ground),
        echo=None if colour is None else find_echo(cells, inside, colour),
        saturation=_saturation(cells.lab),
    )


def _without_outline(inside: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The subject without the cells at its outline, which mix its colour with the background."""
    core: NDArray[np.bool_] = binary_erosion(inside)
    return core if core.sum() >= MIN_INNER_SHARE * inside.sum() else inside


def _scaled(palette: tuple[Swatch, ...], total: float) -> tuple[Swatch, ...]:
    """The same colours with shares that sum to `total`."""
    present = sum(swatch.share for swatch in palette)
    return tuple(replace(swatch, share=swatch.share / present * total) for swatch in palette)


def _saturation(lab: NDArray[np.floating]) -> Saturation:
    chroma = np.hypot(lab[..., 1], lab[..., 2])
    return Saturation(
        float(chroma.mean(dtype=np.float64)),
        float(np.median(chroma)),
        float(np.percentile(chroma, HIGH_CHROMA_PERCENTILE)),
    )

"""The fit of one picture to all techniques."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from auditor.geometry import Region
from auditor.measurements.technique_fit.divisions import fit_techniques
from auditor.measurements.technique_fit.fit import FITS_FROM, TechniqueFit
from auditor.measurements.technique_fit.inner_frame import SIDE_PX as INNER_FRAME_SIDE_PX
from auditor.measurements.technique_fit.inner_frame import inner_frame
from auditor.measurements.technique_fit.mirror_symmetry import mirror_likeness, symmetry_fit
from auditor.measurements.technique_fit.reduction import reduced
from auditor.measurements.technique_fit.triangle import triangle_arrangement
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.vocabulary.techniques import INNER_FRAME, SYMMETRY, TRIANGLE

MISSING_REASONS = {
    SYMMETRY: Reason.NO_SYMMETRY_TO_SEE,
    TRIANGLE: Reason.FEW_ELEMENTS,
    INNER_FRAME: Reason.NO_INNER_FRAME,
}  # why a technique is left out although there is a subject

# From 167 finished food photographs sorted by `symmetry_fit` and judged by eye: at the limit about
# half were symmetrical, at either end of the scale almost all were classified correctly.
MIN_SYMMETRY_CONFIDENCE, SYMMETRY_CONFIDENCE_GAIN = 0.55, 0.8


def measure_technique_fit(
    pixels: NDArray[np.uint8],
    subject: Quantity[Region],
    elements: Sequence[Quantity[Region]],
    labels: NDArray[np.int32],
) -> dict[str, TechniqueFit]:
    """Compare a picture with each technique of `auditor.vocabulary.techniques.TECHNIQUES`.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        sRGB.
    subject : Quantity of Region
    elements : sequence of Quantity of Region
        Largest first.
    labels : (h, w) int32 array
        0 where there is no supporting element.

    Returns
    -------
    dict of str to TechniqueFit
        Ordered as `TECHNIQUES`, without those that could not be measured (`MISSING_REASONS` gives
        the reason); empty without a subject.
    """
    if subject.value is None:
        return {}
    height, width = pixels.shape[:2]
    small = reduced(pixels, INNER_FRAME_SIDE_PX)  # once, for symmetry and inner frame
    fits = fit_techniques(subject.value.centroid, width, height)
    likeness = mirror_likeness(small)
    if likeness is None:
        del fits[SYMMETRY]
    else:
        fits[SYMMETRY] = _symmetry(fits[SYMMETRY], symmetry_fit(likeness))
    triangle = fit_triangle(subject, elements, width, height)
    if triangle is not None:
        fits[TRIANGLE] = triangle
    frame = inner_frame(small, subject.value, labels)
    if frame is not None:
        fits[INNER_FRAME] = frame
    return fits


def fit_triangle(
    subject: Quantity[Region], elements: Sequence[Quantity[Region]], width: int, height: int
) -> TechniqueFit | None:
    """Fit a triangle arrangement; its confidence is the product of those of its corners."""
    if subject.value is None:
        return None
    found = [element for element in elements if element.value is not None]
    regions = [element.value for element in found if element.value is not None]
    arranged = triangle_arrangement(subject.value, regions, width, height)
    if arranged is None:
        return None
    triangle, places = arranged
    corners = [found[place].confidence or 0.0 for place in places]
    return replace(triangle, confidence=math.prod([subject.confidence or 0.0, *corners]))


def _symmetry(axis: TechniqueFit, fit: float) -> TechniqueFit:
    confidence = MIN_SYMMETRY_CONFIDENCE + SYMMETRY_CONFIDENCE_GAIN * abs(fit - FITS_FROM)
    return replace(axis, fit=fit, confidence=confidence)

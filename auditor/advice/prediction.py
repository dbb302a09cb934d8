"""Predict what would be measured after a crop, without its pixels."""

from __future__ import annotations

from dataclasses import replace

from auditor.geometry import Box, Point, Region
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.technique_fit import TechniqueFit, fit_techniques, fit_triangle
from auditor.quantity import Quantity
from auditor.vocabulary.techniques import SYMMETRY, TRIANGLE


def cropped(
    measured: MeasuredPhotograph, box: Box, *, with_techniques: bool = True
) -> MeasuredPhotograph:
    """Predict what would be measured of subject, elements and frame after a crop to `box`.

    Without the techniques, which take most of the time, it has no technique fit.
    """
    width = (box.right - box.left) * measured.width
    height = (box.bottom - box.top) * measured.height
    subject = measured.subject
    if subject.value is not None:
        subject = replace(subject, value=_region_in(subject.value, box))
    elements = tuple(
        replace(element, value=_region_in(element.value, box))
        for element in measured.elements
        if element.value is not None and _contains_point(box, element.value.centroid)
    )
    width_px, height_px = round(width), round(height)
    fit = _techniques(subject, elements, width_px, height_px) if with_techniques else {}
    return replace(
        measured,
        width=width_px,
        height=height_px,
        subject=subject,
        elements=elements,
        technique_fit=fit,
    )


def _techniques(
    subject: Quantity[Region], elements: tuple[Quantity[Region], ...], width: int, height: int
) -> dict[str, TechniqueFit]:
    fit = {} if subject.value is None else fit_techniques(subject.value.centroid, width, height)
    # Whether the rest is symmetrical is unknown without its pixels.
    fit.pop(SYMMETRY, None)
    triangle = fit_triangle(subject, elements, width, height)
    if triangle is not None:
        fit[TRIANGLE] = triangle
    return fit


def box_within(outer: Box, inner: Box) -> Box:
    """A box given as fractions of another box, as fractions of the frame."""
    width, height = outer.right - outer.left, outer.bottom - outer.top
    return Box(
        outer.left + inner.left * width,
        outer.top + inner.top * height,
        outer.left + inner.right * width,
        outer.top + inner.bottom * height,
    )


def _contains_point(box: Box, point: Point) -> bool:
    return box.left <= point.x <= box.right and box.top <= point.y <= box.bottom


def _region_in(region: Region, box: Box) -> Region:
    width, height = box.right - box.left, box.bottom - box.top

    def across(x: float) -> float:
        return min(max((x - box.left) / width, 0.0), 1.0)

    def down(y: float) -> float:
        return min(max((y - box.top) / height, 0.0), 1.0)

    inner = region.bbox
    return Region(
        Point(across(region.centroid.x), down(region.centroid.y)),
        Box(across(inner.left), down(inner.top), across(inner.right), down(inner.bottom)),
        min(1.0, region.area_fraction / box.area_fraction),
    )

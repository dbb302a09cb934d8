"""Colour and format: colour temperature, palette, background, surface, aspect ratio."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.colorimetry import (
    Swatch,
    colour_difference,
    lab_from_hex,
    nearest_named_colour,
)
from auditor.comparison.item import ComparedItem, PlannedColour
from auditor.comparison.verdicts import (
    ROUNDING,
    probability_within,
    verdict_of,
    verdict_on_quantity,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.quantity import Quantity

# A colour below this share of the frame is a speck, not a part of the palette: 2 % of a frame is
# a square a seventh as wide, about a garnish (common practice, no source).
LEAST_PALETTE_SHARE = 0.02
# From here up the frame shows the table only; a background cannot be seen, so none is asked for.
# A lens of 50 mm (35 mm equivalent) sees 20 degrees above its axis in portrait: here the top of
# the frame still looks down at 45 degrees, onto the table. Unit: degrees (geometry).
OVERHEAD_DEG = 65.0


def temperature_alone(measured: MeasuredPhotograph) -> Quantity[float]:
    """The colour temperature that a picture tells by itself, in mired."""
    found = measured.colour_temperature
    mired = None if found.value is None else found.value.mired
    return Quantity(mired, found.confidence, found.tolerance, found.reason)


def compare_colour_temperature(
    intent: Intent, found: Quantity[float], tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """All in mired, where equal steps look about equal; positive differences are warmer."""
    if intent.colour_temperature_kelvin is None:
        return
    planned, tolerance = 1e6 / intent.colour_temperature_kelvin, tolerances.colour_temperature
    if found.value is None:
        yield ComparedItem.unmeasured("colour_temperature", planned, tolerance, "mired")
        return
    difference = found.value - planned
    yield ComparedItem(
        quantity="colour_temperature",
        planned=planned,
        measured=found.value,
        difference=difference,
        tolerance=tolerance,
        unit="mired",
        verdict=verdict_on_quantity(difference, tolerance, found),
    )


def compare_palette(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Every planned colour must be in the picture; the difference is that of the worst.

    The palette is counted from the pixels and so exact; colours that were not planned do not
    matter.
    """
    if not intent.palette:
        return
    planned, tolerance = list(intent.palette), tolerances.palette
    swatches = [swatch for swatch in measured.palette if swatch.share >= LEAST_PALETTE_SHARE]
    if not swatches:
        yield ComparedItem.unmeasured("palette", planned, tolerance, "CIEDE2000")
        return
    colours = tuple(_planned_colour(colour, swatches, tolerance) for colour in planned)
    difference = max(colour.difference for colour in colours)
    within = probability_within(difference, tolerance, deviation=0.0)
    yield ComparedItem(
        quantity="palette",
        planned=planned,
        measured=[swatch.hex for swatch in swatches],
        difference=difference,
        tolerance=tolerance,
        unit="CIEDE2000",
        verdict=verdict_of(difference, tolerance, within),
        colours=colours,
    )


def _planned_colour(planned: str, swatches: Sequence[Swatch], tolerance: float) -> PlannedColour:
    """A planned colour beside the nearest of one or more measured ones."""
    nearest = min(swatches, key=lambda swatch: _difference_from(planned, swatch))
    difference = _difference_from(planned, nearest)
    found = difference <= tolerance + ROUNDING
    name = nearest_named_colour(nearest.lab).name
    return PlannedColour(planned, found, nearest.hex, name, difference, nearest.share)


def compare_grounds(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Colour of background and surface, each against the planned colour nearest to it."""
    is_overhead = (intent.camera_elevation_deg or 0.0) >= OVERHEAD_DEG
    if intent.background and not is_overhead:
        yield _ground("background", intent.background, measured.background, tolerances.background)
    if intent.surface:
        yield _ground("surface", intent.surface, measured.surface, tolerances.surface)


def _ground(
    name: str, planned: tuple[str, ...], found: Quantity[Swatch], tolerance: float
) -> ComparedItem:
    swatch = found.value
    if swatch is None:
        return ComparedItem.unmeasured(name, list(planned), tolerance, "CIEDE2000")
    difference = min(_difference_from(colour, swatch) for colour in planned)
    return ComparedItem(
        quantity=name,
        planned=list(planned),
        measured=swatch.hex,
        difference=difference,
        tolerance=tolerance,
        unit="CIEDE2000",
        verdict=verdict_on_quantity(difference, tolerance, found, dimensions=3),
    )


def _difference_from(planned: str, swatch: Swatch) -> float:
    return colour_difference(lab_from_hex(planned), swatch.lab)


def compare_aspect_ratio(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Width over height, exact; positive differences are too wide."""
    planned, tolerance = intent.aspect_ratio, tolerances.aspect_ratio
    if planned is None:
        return
    ratio = measured.width / measured.height
    difference = ratio - planned
    within = probability_within(difference, tolerance, deviation=0.0)
    yield ComparedItem(
        quantity="aspect_ratio",
        planned=planned,
        measured=ratio,
        difference=difference,
        tolerance=tolerance,
        unit="ratio",
        verdict=verdict_of(difference, tolerance, within),
    )

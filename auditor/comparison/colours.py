"""Colour and format: colour temperature, palette, background, surface, aspect ratio."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.accepted import AcceptedColour
from auditor.colorimetry import (
    Swatch,
    colour_difference,
    lab_from_hex,
    nearest_named_colour,
)
from auditor.comparison.accepted_range import compare_number
from auditor.comparison.item import ComparedItem, PlannedColour
from auditor.comparison.verdicts import (
    ROUNDING,
    doubt_of,
    probability_within,
    spread_of,
    verdict_of,
    verdict_on_quantity,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances
from auditor.quantity import Quantity
from auditor.values import Colours, Mired, Ratio

# A colour with a smaller share of the frame is a speck, not a part of the palette: 2 % of a frame
# is a square a seventh as wide, about a garnish (common practice, no source).
LEAST_PALETTE_SHARE = 0.02
# From this planned elevation on the frame shows only the table: a background cannot be seen and is
# not compared. A lens of 50 mm (35 mm equivalent) sees 20 degrees above its axis in portrait
# format, so here the top of the frame still looks down at 45 degrees, onto the table. Unit: degrees
# (geometry).
OVERHEAD_DEG = 65.0


def temperature_alone(measured: MeasuredPhotograph) -> Quantity[float]:
    """The colour temperature of a picture, estimated from this picture alone, in mired."""
    found = measured.colour_temperature
    mired = None if found.value is None else found.value.mired
    return Quantity(
        mired, found.confidence, found.tolerance, found.reason, found.spread, found.doubt
    )


def compare_colour_temperature(
    intent: Intent, found: Quantity[float], tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare in mired, where equal steps look about equal; a positive difference is warmer."""
    if intent.colour_temperature is None:
        return
    yield compare_number(
        "colour_temperature",
        intent.colour_temperature,
        found.value,
        tolerances.colour_temperature,
        Mired,
        spread=spread_of(found),
        doubt=doubt_of(found),
    )


def compare_palette(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Look for every planned colour in the picture; the difference is the largest of all.

    The palette is counted from the pixels, so it is exact. Colours that were not planned do not
    matter.
    """
    if not intent.palette:
        return
    planned, tolerance = Colours(tuple(one.hex for one in intent.palette)), tolerances.palette
    swatches = [swatch for swatch in measured.palette if swatch.share >= LEAST_PALETTE_SHARE]
    if not swatches:
        yield ComparedItem.unmeasured("palette", planned, tolerance=tolerance)
        return
    colours = tuple(_planned_colour(colour, swatches, tolerance) for colour in intent.palette)
    difference = max(colour.difference for colour in colours)
    within = probability_within(difference, tolerance, spread=0.0)
    yield ComparedItem.of(
        "palette",
        planned,
        Colours(tuple(swatch.hex for swatch in swatches)),
        verdict_of(difference, tolerance, within),
        difference=difference,
        tolerance=tolerance,
        colours=colours,
    )


def _planned_colour(
    planned: AcceptedColour, swatches: Sequence[Swatch], tolerance: float
) -> PlannedColour:
    """A planned colour with the measured colour nearest to it; `swatches` is not empty."""
    nearest = min(swatches, key=lambda swatch: _difference_from(planned, swatch))
    difference = _difference_from(planned, nearest)
    return PlannedColour(
        planned=planned.hex,
        found=difference <= tolerance + ROUNDING,
        nearest=nearest.hex,
        name=nearest_named_colour(nearest.lab).name,
        difference=difference,
        share=nearest.share,
    )


def compare_background_and_surface(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare the colour of each with the planned colour nearest to it."""
    camera = intent.camera_elevation
    is_overhead = camera is not None and camera.nominal >= OVERHEAD_DEG
    if intent.background and not is_overhead:
        yield _one_colour(
            "background", intent.background, measured.background, tolerances.background
        )
    if intent.surface:
        yield _one_colour("surface", intent.surface, measured.surface, tolerances.surface)


def _one_colour(
    quantity: str,
    colours: tuple[AcceptedColour, ...],
    found: Quantity[Swatch],
    tolerance: float,
) -> ComparedItem:
    planned, swatch = Colours(tuple(one.hex for one in colours)), found.value
    if swatch is None:
        return ComparedItem.unmeasured(quantity, planned, tolerance=tolerance)
    difference = min(_difference_from(colour, swatch) for colour in colours)
    return ComparedItem.of(
        quantity,
        planned,
        Colours((swatch.hex,)),
        verdict_on_quantity(difference, tolerance, found, dimensions=3),
        difference=difference,
        tolerance=tolerance,
    )


def _difference_from(planned: AcceptedColour, swatch: Swatch) -> float:
    """CIEDE2000 beyond the planned region of colours."""
    return max(0.0, colour_difference(lab_from_hex(planned.hex), swatch.lab) - planned.radius)


def compare_aspect_ratio(
    intent: Intent, measured: MeasuredPhotograph, tolerances: Tolerances
) -> Iterator[ComparedItem]:
    """Compare width over height, which is exact; a positive difference is too wide."""
    if intent.aspect_ratio is None:
        return
    yield compare_number(
        "aspect_ratio",
        intent.aspect_ratio,
        measured.width / measured.height,
        tolerances.aspect_ratio,
        Ratio,
    )

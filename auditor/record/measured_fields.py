"""The quantities of one measured picture as the record writes them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice
from typing import Any

from auditor.colorimetry import Swatch, is_of_a_light, nearest_named_colours
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.measurements.negative_space import sides_of
from auditor.measurements.palette import Echo
from auditor.measurements.technique_fit import MISSING_REASONS, near_techniques
from auditor.measurements.tone import SubjectTone
from auditor.quantity import Quantity
from auditor.reasons import EXPLANATIONS, Reason
from auditor.record.plain_fields import plain_fields
from auditor.series.white_balance.known_temperatures import KnownTemperature

# The hottest end of the Planckian locus that is tabulated (100 000 K).
LEAST_MIRED = 10.0


def measured_fields(
    picture: MeasuredPhotograph, known: KnownTemperature | None = None
) -> dict[str, Any]:
    """Make the measured fields of `MeasuredPictureRecord`, and the reasons for absent ones.

    `known` is the colour temperature that is known best, by the picture or through its set; the
    record has no other.
    """
    empty_region = {"centroid": None, "bbox": None, "area_fraction": None}
    empty_focus = dict.fromkeys(
        ("subject_sharpness", "sharpest_at", "subject_in_focus", "cause", "cause_confidence")
    )
    estimated: dict[str, Quantity[Any]] = {
        "subject": picture.subject,
        "negative_space": picture.negative_space,
        "diagonal": picture.diagonal,
        "leading_lines": picture.leading_lines,
        "camera_elevation": picture.camera_elevation,
        "light": picture.light,
        "roll": picture.roll,
        "colour_temperature": picture.colour_temperature if known is None else known.quantity,
        "background": picture.background,
        "surface": picture.surface,
        "focus": picture.focus,
    }
    return {
        "subject": {
            **_estimate(picture.subject, empty_region),
            "source": picture.subject_source,
            "part": "food" if picture.subject_is_food_on_dish else None,
        },
        "elements": [_estimate(element, empty_region) for element in picture.elements],
        "thin_things": [plain_fields(thing) for thing in picture.thin_things],
        "negative_space": _negative_space(picture),
        "diagonal": None if picture.diagonal.value is None else _estimate(picture.diagonal, {}),
        "leading_lines": (
            None if picture.leading_lines.value is None else _estimate(picture.leading_lines, {})
        ),
        "technique_fit": _techniques(picture),
        "camera_elevation": _camera_elevation(picture),
        "light": _light(picture),
        "roll": _estimate(picture.roll, {"deg": None}),
        "colour_temperature": _colour_temperature(picture, known),
        **_colours(picture),
        "background": _ground(picture.background),
        "surface": _ground(picture.surface),
        "tone": plain_fields(picture.tone),
        "subject_tone": _of_subject(picture, picture.subject_tone),
        "focus": _estimate(picture.focus, empty_focus),
        "border": None if picture.border is None else _estimate(picture.border, {}),
        "writing": [_estimate(line, {}) for line in picture.writing],
        "reasons": {
            name: _reason(quantity.reason)
            for name, quantity in estimated.items()
            if quantity.reason is not None
        }
        | _reasons_of_techniques(picture)
        | _reasons_of_subject(picture),
    }


def _colour_temperature(
    picture: MeasuredPhotograph, known: KnownTemperature | None
) -> dict[str, Any]:
    """The best known temperature. Clusters keep their distances from each other."""
    own = picture.colour_temperature
    empty: dict[str, Any] = {
        "cct_k": None,
        "duv": None,
        "mired": None,
        "clusters": [],
        "source": None,
    }
    if known is None:
        return {**empty, **_estimate(own, {})}
    values = {} if own.value is None else plain_fields(own.value)
    shift = 0.0 if own.value is None else known.mired - own.value.mired
    clusters = [
        {**cluster, "cct_k": 1e6 / max(LEAST_MIRED, 1e6 / cluster["cct_k"] + shift)}
        for cluster in values.get("clusters", [])
    ]
    if not all(is_of_a_light(cluster["cct_k"]) for cluster in clusters):
        # Moved so far, the second is the temperature of no light, so nothing is said of it.
        clusters = [{**clusters[0], "share": 1.0}]
        values["light_map"] = ()
    return {
        **empty,
        **values,
        "cct_k": 1e6 / known.mired,
        "mired": known.mired,
        "clusters": clusters,
        "source": "set" if known.by_set else "picture",
        **_certainty(known.quantity),
    }


def _techniques(picture: MeasuredPhotograph) -> dict[str, Any]:
    subject, near = picture.subject, near_techniques(picture.technique_fit)
    return {
        name: {
            **plain_fields(fit),
            "is_there": fit.is_there,
            "near_rank": near.index(name) + 1 if name in near else None,
            "confidence": subject.confidence if fit.confidence is None else fit.confidence,
            "tolerance": subject.tolerance,
        }
        for name, fit in picture.technique_fit.items()
    }


def _reasons_of_techniques(picture: MeasuredPhotograph) -> dict[str, Any]:
    if picture.subject.value is None:
        return {}
    return {
        f"technique_fit: {name}": _reason(reason)
        for name, reason in MISSING_REASONS.items()
        if name not in picture.technique_fit
    }


def _colours(picture: MeasuredPhotograph) -> dict[str, Any]:
    echo = _of_subject(picture, picture.echo)
    palettes = picture.palette, picture.subject_palette, picture.ground_palette
    colours = [plain_fields(swatch) for palette in palettes for swatch in palette]
    named = iter(_named([*colours, *([] if echo is None else [echo])]))  # in one computation
    whole, subject, ground = (list(islice(named, len(palette))) for palette in palettes)
    return {
        "palette": whole,
        "subject_palette": subject,
        "ground_palette": ground,
        "echo": next(named, None),
        "saturation": plain_fields(picture.saturation),
    }


def _named(colours: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    names = nearest_named_colours([colour["lab"] for colour in colours])
    return [
        {**colour, "name": named.name, "name_distance": named.difference}
        for colour, named in zip(colours, names, strict=True)
    ]


def _of_subject(
    picture: MeasuredPhotograph, found: Echo | SubjectTone | None
) -> dict[str, Any] | None:
    """Values counted within the subject's outline, which are as certain as the subject."""
    if found is None:
        return None
    return {**plain_fields(found), "confidence": picture.subject.confidence}


def _reasons_of_subject(picture: MeasuredPhotograph) -> dict[str, Any]:
    """Reasons why the subject's colours or tone are absent."""
    absent = {"echo": picture.echo, "subject_tone": picture.subject_tone}
    reason = picture.subject.reason or Reason.TOO_SMALL
    return {name: _reason(reason) for name, found in absent.items() if found is None}


def _estimate(quantity: Quantity[Any], empty: Mapping[str, object]) -> dict[str, Any]:
    values = dict(empty) if quantity.value is None else plain_fields(quantity.value)
    return {**values, **_certainty(quantity)}


def _certainty(quantity: Quantity[Any]) -> dict[str, Any]:
    return {
        "confidence": quantity.confidence,
        "tolerance": quantity.tolerance,
        "spread": quantity.spread,
        "doubt": quantity.doubt,
        "reason": None if quantity.reason is None else _reason(quantity.reason),
    }


def _reason(reason: Reason) -> dict[str, str]:
    return {"code": str(reason), "message": EXPLANATIONS[reason]}


def _negative_space(picture: MeasuredPhotograph) -> dict[str, Any]:
    space = picture.negative_space.value
    if space is None:
        values: dict[str, Any] = {"fraction": None, "largest_region": None, "side": None}
    else:
        largest = (
            None
            if space.largest_region_bbox is None
            else {
                "bbox": space.largest_region_bbox,
                "fraction": space.largest_region_fraction,
                "outline": space.largest_region_outline,
            }
        )
        values = {
            "fraction": space.fraction,
            "plain_fraction": None if space.plain is None else space.plain.fraction,
            "largest_region": largest,
            "side": space.side,
            "sides": sides_of(space.whole),
            "plain_sides": [] if space.plain is None else sides_of(space.plain),
        }
    return {**values, **_certainty(picture.negative_space)}


def _camera_elevation(picture: MeasuredPhotograph) -> dict[str, Any]:
    elevation = picture.camera_elevation.value
    values = {
        "deg": None if elevation is None else elevation.deg,
        "ellipses": [] if elevation is None else [plain_fields(rim) for rim in elevation.ellipses],
        "rectangles": [] if elevation is None else elevation.rectangles,
        "lines": [] if elevation is None else elevation.lines,
        "cropped_from": None if elevation is None else elevation.cropped_from,
    }
    return {**values, **_certainty(picture.camera_elevation)}


def _light(picture: MeasuredPhotograph) -> dict[str, Any]:
    light = picture.light.value
    values = {
        "clock": None if light is None else light.clock,
        "name": None if light is None else light.name,
        "side": None if light is None else light.side,
    }
    return {**values, **_certainty(picture.light)}


def _ground(ground: Quantity[Swatch]) -> dict[str, Any] | None:
    return None if ground.value is None else _estimate(ground, {})

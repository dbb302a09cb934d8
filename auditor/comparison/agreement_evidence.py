"""What words and colours say about the shot: technique, diagonal, empty side, colours."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence

import numpy as np

from auditor.accepted import AcceptedColour
from auditor.colorimetry import Lab, colour_differences, lab_from_hex
from auditor.comparison.colours import LEAST_PALETTE_SHARE, OVERHEAD_DEG
from auditor.comparison.empty_space import compare_negative_space
from auditor.comparison.evidence import Ratios, agreement_ratios, says_nothing
from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.places import compare_technique
from auditor.comparison.scene import compare_diagonal, compare_light
from auditor.comparison.verdicts import doubt_of
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Tolerances

# How far a verdict agrees with the plan; an undecided one says nothing.
_DEGREES = {Verdict.MET: 1.0, Verdict.CLOSE: 0.5, Verdict.MISSED: 0.0, Verdict.UNDECIDED: np.nan}
# Share of pictures in general that meet a word of a plan (our choice, no source).
WORDS_MET = 0.4
WORDS_KEPT = 0.75
# Shares of pictures in general in which a planned colour is found.
COLOUR_FOUND = {"palette": 0.3, "background": 0.2, "surface": 0.2}
COLOURS_KEPT = 0.85
# Standard deviation of a colour about the planned one, in tolerances.
COLOUR_DEVIATION = 0.5

_Compare = Callable[[Intent, MeasuredPhotograph, Tolerances], Iterator[ComparedItem]]


def technique_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the planned technique; one of them goes by the planned share of empty space."""
    keys = [one.techniques and (one.techniques, one.negative_space) for one in intents]
    return _of_words(keys, intents, pictures, tolerances, "technique", compare_technique)


def diagonal_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the planned diagonal."""
    keys = [
        (() if one.diagonal is None and one.diagonal_deg is None else
         (one.diagonal, one.diagonal_deg))
        for one in intents
    ]  # fmt: skip
    return _of_words(keys, intents, pictures, tolerances, "diagonal", compare_diagonal)


def side_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the side on which most of the empty space is planned."""
    keys = [intent.negative_space_sides for intent in intents]
    name = "negative_space_side"
    return _of_words(keys, intents, pictures, tolerances, name, compare_negative_space)


def light_from_above_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the planned light, of shots for which light from above will do."""
    keys = [(one.light,) if one.light_from_above else () for one in intents]
    return _of_words(keys, intents, pictures, tolerances, "light", compare_light)


def _of_words(
    keys: Sequence[tuple[Hashable, ...]],
    intents: Sequence[Intent],
    pictures: Sequence[MeasuredPhotograph],
    tolerances: Tolerances,
    quantity: str,
    compare: _Compare,
) -> Ratios:
    """Ratios of an item by its verdicts; shots with equal keys plan the same, an empty one none."""
    if says_nothing(keys):
        return np.ones((len(intents), len(pictures)))
    known: dict[tuple[Hashable, ...], Ratios | None] = {(): None}
    for key, intent in zip(keys, intents, strict=True):
        if key not in known:
            known[key] = np.array(
                [
                    next(
                        (
                            _DEGREES[item.verdict]
                            for item in compare(intent, picture, tolerances)
                            if item.quantity == quantity
                        ),
                        np.nan,
                    )
                    for picture in pictures
                ]
            )
    each = [known[key] for key in keys]
    return agreement_ratios(each, WORDS_KEPT, WORDS_MET, len(pictures))


def palette_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the palette: each colour that not every shot plans is looked for."""
    swatches = [
        [swatch.lab for swatch in picture.palette if swatch.share >= LEAST_PALETTE_SHARE]
        for picture in pictures
    ]
    shared: set[AcceptedColour] = set()
    if len(intents) > 1:
        shared = set.intersection(*(set(intent.palette) for intent in intents))
    total = np.ones((len(intents), len(pictures)))
    n_most = max(len(set(intent.palette) - shared) for intent in intents)
    for number in range(n_most):
        each = [
            _agreement((own[number],), swatches, tolerances.palette)
            if number < len(own := [one for one in intent.palette if one not in shared])
            else None
            for intent in intents
        ]
        total *= agreement_ratios(each, COLOURS_KEPT, COLOUR_FOUND["palette"], len(pictures))
    return total


def background_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the colour of what stands behind; from overhead none is seen."""
    planned = [
        ()
        if one.camera_elevation is not None and one.camera_elevation.nominal >= OVERHEAD_DEG
        else one.background
        for one in intents
    ]
    return _of_grounds("background", planned, pictures, tolerances.background)


def surface_ratios(
    intents: Sequence[Intent], pictures: Sequence[MeasuredPhotograph], tolerances: Tolerances
) -> Ratios:
    """Ratios from the colour of what the food stands on."""
    planned = [intent.surface for intent in intents]
    return _of_grounds("surface", planned, pictures, tolerances.surface)


def _of_grounds(
    quantity: str,
    planned: Sequence[tuple[AcceptedColour, ...]],
    pictures: Sequence[MeasuredPhotograph],
    tolerance: float,
) -> Ratios:
    if says_nothing(planned):
        return np.ones((len(planned), len(pictures)))
    found = [getattr(picture, quantity) for picture in pictures]
    swatches = [[] if one.value is None else [one.value.lab] for one in found]
    kept = COLOURS_KEPT * np.array([1 - doubt_of(one) for one in found])
    each = [_agreement(colours, swatches, tolerance) if colours else None for colours in planned]
    ratios = agreement_ratios(each, 1.0, COLOUR_FOUND[quantity], len(pictures))
    return 1 - kept + kept * ratios


def _agreement(
    colours: Sequence[AcceptedColour], swatches: Sequence[Sequence[Lab]], tolerance: float
) -> Ratios:
    """How near the nearest colour of each picture comes to any of the planned ones, in [0, 1]."""
    owners = np.repeat(np.arange(len(swatches)), [len(one) for one in swatches])
    nearest = np.full(len(swatches), np.inf)
    flat = np.array([lab for one in swatches for lab in one]).reshape(-1, 3)
    middles = [(one.radius, middle) for one in colours for middle in (one.hex, *one.more)]
    for radius, middle in middles if len(flat) else ():
        beyond = colour_differences(lab_from_hex(middle), flat) - radius
        np.minimum.at(nearest, owners, np.maximum(beyond, 0.0))
    agreement = np.exp(-0.5 * (nearest / (COLOUR_DEVIATION * tolerance)) ** 2)
    return np.where(np.isinf(nearest), np.nan, agreement)

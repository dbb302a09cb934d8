"""How grave a finding is: what has to be done about it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import Protocol

from auditor.findings.codes import FindingCode


class Gravity(StrEnum):
    """What has to be done, the gravest first.

    First what cannot be undone after a hand-over, then what has to be shot again because no edit
    mends it, then what is mended in development, then by a crop; what is left has to be looked at
    (common practice, no source).
    """

    HAND_OVER = "hand_over"
    RESHOOT = "reshoot"
    DEVELOP = "develop"
    CROP = "crop"
    LOOK = "look"


ORDER = {gravity: place for place, gravity in enumerate(Gravity)}

# A miss begins at 1.5 tolerances. One up to so many is slight: it is worth a look, but no new
# picture (our choice, no source). Unit: tolerances.
SLIGHT_TOLERANCES = 2.0

# What is set in development, and can be set again.
DEVELOPED = frozenset({"colour_temperature", "tint", "exposure", "contrast", "saturation", "roll"})
# A frame of any ratio can be cut to any other.
CROPPED = frozenset({"aspect_ratio"})
# Colours of things: another light or development may explain them, so that they are looked at.
COLOURS = frozenset({"palette", "background", "surface"})
# A rule that is broken by the order of the pictures, not by their number.
NEIGHBOURS = "neighbours"

# Those that depend on the quantity or the advice have no entry.
OF_CODE: dict[FindingCode, Gravity] = {
    FindingCode.LOCATION: Gravity.HAND_OVER,
    FindingCode.DELIVERY: Gravity.HAND_OVER,
    FindingCode.WRITING: Gravity.HAND_OVER,
    FindingCode.UNREADABLE_FOLDER: Gravity.HAND_OVER,
    FindingCode.REFUSED: Gravity.HAND_OVER,
    FindingCode.INCOMPLETE: Gravity.HAND_OVER,
    FindingCode.MISSING_SHOT: Gravity.RESHOOT,
    FindingCode.MISSED_FOCUS: Gravity.RESHOOT,
    FindingCode.MOTION_BLUR: Gravity.RESHOOT,
    FindingCode.TEMPERATURE_GROUP: Gravity.DEVELOP,
    FindingCode.BORDER: Gravity.LOOK,
    FindingCode.UNPLANNED: Gravity.LOOK,
    FindingCode.DOUBTFUL_MATCH: Gravity.LOOK,
    FindingCode.FITS_OTHER_SHOT: Gravity.LOOK,
    FindingCode.CLAIMED_TWICE: Gravity.LOOK,
    FindingCode.SAME_FILE: Gravity.LOOK,
    FindingCode.NEARLY_THE_SAME: Gravity.LOOK,
    FindingCode.CROPPED: Gravity.LOOK,
    FindingCode.REPEATED: Gravity.LOOK,
}


class Found(Protocol):
    """What is read of a finding."""

    @property
    def code(self) -> FindingCode:
        """What it is."""

    @property
    def files(self) -> Sequence[str]:
        """The pictures concerned."""

    @property
    def quantity(self) -> str | None:
        """What it is about."""

    @property
    def value(self) -> object:
        """What was found."""

    @property
    def difference(self) -> float | None:
        """How far off, in the unit of the tolerance."""

    @property
    def tolerance(self) -> float | None:
        """How much is allowed."""

    @property
    def explained_by_exposure_ev(self) -> float | None:
        """The exposure that explains it, in EV."""

    @property
    def rule(self) -> str | None:
        """The plan's rule for the set."""


class Advised(Protocol):
    """What is read of advice."""

    @property
    def kind(self) -> str:
        """What is done."""

    @property
    def reaches(self) -> Sequence[str]:
        """Planned quantities that are then met."""

    @property
    def rejoins(self) -> Sequence[str]:
        """Quantities in which the picture then rejoins the set."""


class Item(Protocol):
    """What is read of a planned item."""

    @property
    def quantity(self) -> str:
        """What it is about."""

    @property
    def measured(self) -> object:
        """What was found."""

    @property
    def difference(self) -> float | None:
        """How far off, in the unit of the tolerance."""

    @property
    def tolerance(self) -> float | None:
        """How much is allowed."""

    @property
    def is_fault(self) -> bool:
        """Whether it is missed, and not on purpose."""


AdviceOf = Mapping[str, Sequence[Advised]]  # by file
ItemsOf = Mapping[str, Sequence[Item]]  # by file


def gravity_of(finding: Found, advice_of: AdviceOf, items_of: ItemsOf) -> Gravity:
    """How grave a finding is.

    What advice mends is as grave as the advice is work. What no advice mends has to be shot again,
    unless it is only slightly off.

    Parameters
    ----------
    finding : Found
    advice_of : mapping of str to sequence of Advised
        All advice for each picture.
    items_of : mapping of str to sequence of Item
        All planned items of each picture.
    """
    match finding.code:
        case FindingCode.SET_RULE:
            too_few = finding.rule != NEIGHBOURS and (finding.difference or 0.0) < 0
            return Gravity.RESHOOT if too_few else Gravity.LOOK
        case FindingCode.OFTEN_MISSED:
            return _of_most(finding, advice_of, items_of)
        case FindingCode.MISSED:
            return _of_miss(finding, advice_of)
        case FindingCode.SET_OUTLIER:
            return _of_outlier(finding, advice_of)
        case code:
            return OF_CODE[code]


def helping(finding: Found, advice: Sequence[Advised]) -> tuple[int, ...]:
    """Places of the advice that mends what a finding of one picture is about."""
    quantity = finding.quantity or ""
    return tuple(
        place
        for place, one in enumerate(advice)
        if (
            quantity in one.rejoins
            if finding.code is FindingCode.SET_OUTLIER
            else quantity in one.reaches
            or (finding.explained_by_exposure_ev is not None and "exposure" in one.rejoins)
        )
    )


def is_against_plan(finding: Found, advice: Sequence[Advised]) -> bool:
    """Whether a picture leaves the set because its plan asks for it.

    Then the advice is about the same quantity, and does not bring the picture back to the set.
    """
    own = [one for one in advice if one.kind.replace(" ", "_") == finding.quantity]
    return bool(own) and not helping(finding, advice)


def _of_advice(advice: Sequence[Advised], places: Sequence[int]) -> Gravity | None:
    """The gravity of the lightest advice that helps; None where none does."""
    found = [Gravity.CROP if advice[place].kind == "crop" else Gravity.DEVELOP for place in places]
    return max(found, key=ORDER.__getitem__, default=None)


def _of_miss(finding: Found, advice_of: AdviceOf) -> Gravity:
    advice = advice_of.get(finding.files[0], ())
    by_advice = _of_advice(advice, helping(finding, advice))
    if by_advice is not None:
        return by_advice
    if finding.explained_by_exposure_ev is not None:
        return Gravity.DEVELOP
    return _without_advice(
        finding.quantity or "", finding.value, finding.difference, finding.tolerance
    )


def _without_advice(
    quantity: str, measured: object, difference: float | None, tolerance: float | None
) -> Gravity:
    if quantity in DEVELOPED:
        return Gravity.DEVELOP
    if quantity in CROPPED:
        return Gravity.CROP
    if quantity in COLOURS:
        return Gravity.LOOK
    if measured is None:
        return Gravity.RESHOOT
    if difference is None or not tolerance:
        return Gravity.LOOK
    is_slight = abs(difference) <= SLIGHT_TOLERANCES * tolerance
    return Gravity.LOOK if is_slight else Gravity.RESHOOT


def _of_most(finding: Found, advice_of: AdviceOf, items_of: ItemsOf) -> Gravity:
    """The gravity that most of the misses have; of several, the gravest."""
    counts: Counter[Gravity] = Counter()
    for file in finding.files:
        advice = advice_of.get(file, ())
        by_advice = _of_advice(advice, helping(finding, advice))
        counts.update(
            by_advice
            or _without_advice(item.quantity, item.measured, item.difference, item.tolerance)
            for item in items_of.get(file, ())
            if item.quantity == finding.quantity and item.is_fault
        )
    return min(counts, key=lambda one: (-counts[one], ORDER[one]), default=Gravity.LOOK)


def _of_outlier(finding: Found, advice_of: AdviceOf) -> Gravity:
    advice = advice_of.get(finding.files[0], ()) if len(finding.files) == 1 else ()
    by_advice = _of_advice(advice, helping(finding, advice))
    if by_advice is not None:
        return by_advice
    is_developed = finding.quantity in DEVELOPED and not is_against_plan(finding, advice)
    return Gravity.DEVELOP if is_developed else Gravity.LOOK

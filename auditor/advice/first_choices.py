"""What might help a picture, by its readings: the amounts that are tried first."""

from __future__ import annotations

import math

import numpy as np

from auditor.advice.case import Case
from auditor.colorimetry import lab_from_hex, linear_from_lab, xyz_from_linear
from auditor.comparison.item import ComparedItem
from auditor.corrections import BOX_STEPS, Change, inscribed_box
from auditor.geometry import Box, Point
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.values import Colours

# Turning by less is not worth the corners that are lost (common practice, no source).
LEAST_TURN_DEG = 0.7
# A tilt is corrected only if it is sure enough: well above the confidence from which on a roll is
# reported at all, because a level picture that is turned is worse than a tilted one that is not
# (our choice, no source).
LEAST_ROLL_CONFIDENCE = 0.75
# What a finished picture bears (common practice, no source).
MOST_MIRED, MOST_EV = 100.0, 2.0
LEAST_SATURATION, MOST_SATURATION = 0.5, 2.0
# Less is not seen (a just noticeable step is about 5 mired, from memory; the others: common
# practice, no source).
LEAST_MIRED, LEAST_EV, LEAST_SATURATION_STEP = 4.0, 0.1, 0.04


def first_choices(case: Case) -> list[Change]:
    """The single changes of turn and colours that the readings call for, rounded."""
    found = (turn_for(case), _temperature(case), _exposure(case), _saturation(case))
    return [change.rounded() for change in found if change is not None]


def sure_roll_deg(measured: MeasuredPhotograph) -> float | None:
    """The roll, if it is sure enough to turn by; positive if level things rise to the right."""
    roll = measured.roll
    if roll.value is None or (roll.confidence or 0.0) < LEAST_ROLL_CONFIDENCE:
        return None
    return roll.value.deg


def turn_for(case: Case) -> Change | None:
    """The turn that levels a picture: clockwise where level lines rise to the right."""
    measured = case.measured
    deg = sure_roll_deg(measured)
    if case.has_border or deg is None:
        return None
    if abs(deg) < max(LEAST_TURN_DEG, measured.roll.tolerance or 0.0):
        return None
    if case.shot is not None and any(not one.quantities for one in case.shot.on_purpose):
        return None
    turn = turning_by(measured, deg)
    return turn if _keeps_subject(measured, turn) else None


def turning_by(measured: MeasuredPhotograph, deg: float) -> Change:
    """A turn with the largest rectangle that it leaves, of the picture's own ratio."""
    deg = Change(turn_deg=deg).rounded().turn_deg
    margin = inscribed_box(measured.width, measured.height, deg).left
    margin = math.ceil(margin * BOX_STEPS) / BOX_STEPS  # rounded so that no empty corner stays
    return Change(turn_deg=deg, crop=Box(margin, margin, 1 - margin, 1 - margin)).rounded()


def _keeps_subject(measured: MeasuredPhotograph, turn: Change) -> bool:
    """Whether the subject stays whole: the ellipse in its box, turned about the frame's middle."""
    subject = measured.subject.value
    if subject is None:
        return True
    width, height = measured.width, measured.height
    angle = math.radians(turn.turn_deg)
    box = subject.bbox
    x, y = (box.centre.x - 0.5) * width, (box.centre.y - 0.5) * height
    middle = Point(
        x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle)
    )
    a, b = (box.right - box.left) * width / 2, (box.bottom - box.top) * height / 2
    half = (
        math.hypot(a * math.cos(angle), b * math.sin(angle)),
        math.hypot(a * math.sin(angle), b * math.cos(angle)),
    )
    turned = Box(
        0.5 + (middle.x - half[0]) / width,
        0.5 + (middle.y - half[1]) / height,
        0.5 + (middle.x + half[0]) / width,
        0.5 + (middle.y + half[1]) / height,
    )
    kept = turn.crop
    return (
        turned.left >= kept.left
        and turned.top >= kept.top
        and turned.right <= kept.right
        and turned.bottom <= kept.bottom
    )


def _temperature(case: Case) -> Change | None:
    off_plan = case.missed.get(("colour_temperature", None))
    off_set = case.off_set.get("colour_temperature")
    if off_plan is None and off_set is None:
        return None
    if any(item.on_purpose for item in case.items if item.quantity == "colour_temperature"):
        return None
    amount = -(off_set or 0.0) if off_plan is None else _shift_to_plan(off_plan, off_set)
    if not LEAST_MIRED <= abs(amount) <= MOST_MIRED:
        return None
    return Change(mired=amount)


def _shift_to_plan(item: ComparedItem, off_set: float | None) -> float:
    """The shift that brings a picture to its plan.

    The distance from the set is known more precisely than that from the plan. If the set itself is
    as planned, the picture is therefore shifted to the set.
    """
    off_plan = item.difference or 0.0
    if off_set is not None and abs(off_plan - off_set) <= (item.tolerance or 0.0):
        return -off_set
    return -off_plan


def _exposure(case: Case) -> Change | None:
    deviation = case.off_set.get("exposure")
    amount = _exposure_by_grounds(case) if deviation is None else -deviation
    if amount is None or not LEAST_EV <= abs(amount) <= MOST_EV:
        return None
    return Change(exposure_ev=amount)


def _exposure_by_grounds(case: Case) -> float | None:
    """The exposure that gives a missed surface or background its planned lightness."""
    for name in ("surface", "background"):
        item = case.missed.get((name, None))
        if item is None:
            continue
        planned, measured = item.planned, item.measured
        if isinstance(planned, Colours) and isinstance(measured, Colours):
            found = _luminance(measured.hexes[0])
            wanted = min((_luminance(one) for one in planned.hexes), key=lambda y: abs(y - found))
            if found > 0 and wanted > 0:
                return math.log2(wanted / found)
    return None


def _luminance(colour: str) -> float:
    return float(xyz_from_linear(linear_from_lab(np.array(lab_from_hex(colour))))[1])


def _saturation(case: Case) -> Change | None:
    ratio = case.off_set.get("saturation")
    if not ratio:
        return None
    factor = min(max(1 / ratio, LEAST_SATURATION), MOST_SATURATION)
    return None if abs(factor - 1) < LEAST_SATURATION_STEP else Change(saturation=factor)

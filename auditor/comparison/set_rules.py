"""The rules of the plan for the set, each judged over its pictures in their order.

For each picture a rule asks whether it counts: yes, no, or open where the measurement does not say.
A rule is met if it holds whatever the open ones are, missed if it cannot hold, else undecided.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from auditor.accepted import Accepted
from auditor.comparison.item import Verdict
from auditor.comparison.places import size_deviation
from auditor.comparison.verdicts import (
    ROUNDING,
    doubt_of,
    probability_accepted,
    probability_within,
    spread_of,
    verdict_of_chance,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Plan, PlannedRule
from auditor.quantities.set_rules import HERO_TIMES
from auditor.runs.outcome import RefusedPicture
from auditor.vocabulary.camera_angle import CAMERA_WORDS, ELEVATION_WORDS

Picture = MeasuredPhotograph | RefusedPicture
_Counts = Callable[[MeasuredPhotograph], Verdict]

# From so many pictures on there are others to be large beside.
LEAST_PICTURES_FOR_HERO = 3
# Width over height of a picture that is taken for square: within a fiftieth of 1, as the tolerance
# of the aspect ratio (`quantities/tolerances.py`).
SQUARE_WITHIN = 0.02
STRAIGHT_DOWN_DEG = 90.0
# From and to how many degrees a picture has a camera angle, by its key; both lists have the same
# angles, from level and from overhead. Beyond level and straight down is nothing but error.
_ANGLE_KEYS = (words.replace(" ", "_").replace("-", "_") for words in reversed(ELEVATION_WORDS))
_ENDS = (-math.inf, *(end for end, _ in CAMERA_WORDS[:-1]), math.inf)
_ZONES = dict(zip(_ANGLE_KEYS, pairwise(_ENDS), strict=True))


@dataclass(frozen=True, slots=True)
class JudgedRule:
    """A rule of the set with its verdict.

    Attributes
    ----------
    rule : PlannedRule
    verdict : Verdict
        Never close.
    files : tuple of str
        The pictures that count, in the order of the set. Of a rule about neighbours those that
        break it.
    open_files : tuple of str
        Of which it is not known.
    pairs : tuple of (str, str)
        Neighbours that break the rule.
    """

    rule: PlannedRule
    verdict: Verdict
    files: tuple[str, ...]
    open_files: tuple[str, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()


def judge_rules(plan: Plan, pictures: Sequence[Picture]) -> tuple[JudgedRule, ...]:
    """Judge each rule of the plan over the pictures of the set, in their order."""
    return tuple(_judged(rule, plan, pictures) for rule in plan.rules)


def _judged(rule: PlannedRule, plan: Plan, pictures: Sequence[Picture]) -> JudgedRule:
    if rule.accepted is None:
        return _neighbours(rule, pictures, plan.tolerances.camera_elevation)
    counts = _counts_for(rule.name, pictures)
    each = {
        picture.file: Verdict.UNDECIDED if isinstance(picture, RefusedPicture) else counts(picture)
        for picture in pictures
    }
    files = tuple(file for file, verdict in each.items() if verdict is Verdict.MET)
    unknown = tuple(file for file, verdict in each.items() if verdict is Verdict.UNDECIDED)
    verdict = _verdict(rule.accepted, len(files), len(files) + len(unknown))
    return JudgedRule(rule, verdict, files, unknown)


def _verdict(accepted: Accepted, least: int, most: int) -> Verdict:
    """The verdict on a number of pictures from `least` to `most`."""
    holds = [accepted.beyond(float(number)) == 0 for number in range(least, most + 1)]
    if all(holds):
        return Verdict.MET
    return Verdict.UNDECIDED if any(holds) else Verdict.MISSED


def _counts_for(name: str, pictures: Sequence[Picture]) -> _Counts:
    """Whether a picture counts for a rule."""
    match name:
        case "pictures":
            return lambda _: Verdict.MET
        case "portrait" | "landscape" | "square":
            return lambda picture: Verdict.MET if _format(picture) == name else Verdict.MISSED
        case "hero":
            return _hero(pictures)
    least, most = _ZONES[name]
    zone = Accepted(min(most, STRAIGHT_DOWN_DEG), ((least, most),))
    return lambda picture: _is_seen_from(zone, picture)


def _format(picture: MeasuredPhotograph) -> str:
    ratio = picture.width / picture.height
    if abs(ratio - 1) <= SQUARE_WITHIN + ROUNDING:
        return "square"
    return "landscape" if ratio > 1 else "portrait"


def _is_seen_from(zone: Accepted, picture: MeasuredPhotograph) -> Verdict:
    """Whether a picture has a camera angle: without a tolerance, so that it has one alone."""
    found = picture.camera_elevation
    if found.value is None:
        return Verdict.UNDECIDED
    within = probability_accepted(zone, found.value.deg, 0.0, spread_of(found))
    return verdict_of_chance(within, doubt_of(found))


def _hero(pictures: Sequence[Picture]) -> _Counts:
    shares = [
        picture.subject.value.area_fraction
        for picture in pictures
        if isinstance(picture, MeasuredPhotograph) and picture.subject.value is not None
    ]
    if len(shares) < LEAST_PICTURES_FOR_HERO:
        return lambda _: Verdict.UNDECIDED
    least = HERO_TIMES * statistics.median(shares)

    def counts(picture: MeasuredPhotograph) -> Verdict:
        found = picture.subject
        if found.value is None:
            return Verdict.UNDECIDED
        spread = size_deviation(found, picture.width, picture.height)
        larger = Accepted(least, ((least, math.inf),))
        within = probability_accepted(larger, found.value.area_fraction, 0.0, spread)
        return verdict_of_chance(within, doubt_of(found))

    return counts


def _neighbours(rule: PlannedRule, pictures: Sequence[Picture], tolerance: float) -> JudgedRule:
    """Whether no two pictures that follow each other are seen from one angle.

    Angles within the plan's tolerance of a camera angle are one.
    """
    each = {
        (first.file, second.file): _is_one_angle(first, second, tolerance)
        for first, second in pairwise(pictures)
    }
    pairs = tuple(pair for pair, verdict in each.items() if verdict is Verdict.MET)
    unknown = [pair for pair, verdict in each.items() if verdict is Verdict.UNDECIDED]
    verdict = Verdict.MISSED if pairs else Verdict.UNDECIDED if unknown else Verdict.MET
    return JudgedRule(rule, verdict, _files_of(pairs), _files_of(unknown), pairs)


def _is_one_angle(first: Picture, second: Picture, tolerance: float) -> Verdict:
    if isinstance(first, RefusedPicture) or isinstance(second, RefusedPicture):
        return Verdict.UNDECIDED
    one, other = first.camera_elevation, second.camera_elevation
    if one.value is None or other.value is None:
        return Verdict.UNDECIDED
    spread = math.hypot(spread_of(one), spread_of(other))
    within = probability_within(one.value.deg - other.value.deg, tolerance, spread)
    doubt = 1 - (1 - doubt_of(one)) * (1 - doubt_of(other))
    return verdict_of_chance(within, doubt)


def _files_of(pairs: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(file for pair in pairs for file in pair))

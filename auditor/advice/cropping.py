"""Find the crops that would bring a picture to its plan, by what was measured in the whole frame.

A prediction is cheap: subject and elements stay what they are, and only their places in the frame
change. It ranks the crops that are then tried.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from auditor.advice.case import Case, Key, key_of
from auditor.advice.prediction import cropped
from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.geometry import Box, Point, Region
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Intent, Shot, Tolerances

# Quantities whose verdict after a crop is predicted.
TECHNIQUE = "technique"
PREDICTED = frozenset(("subject", "subject_size", TECHNIQUE, "aspect_ratio"))
# Less than half of each side leaves too few pixels to deliver (common practice, no source).
LEAST_SIDE_FRACTION = 0.5
# Steps of the side: first over all sizes, then halved so often between the last that does not
# reach and the first that does. The last step is a fifteenth of a per cent, less than is seen.
SIDE_STEP = 0.01
N_HALVINGS = 4
# Places of the crop at each size besides the one that puts the subject at its place: left, middle
# and right, top, middle and bottom.
SLIDES = (0.0, 0.5, 1.0)
# Room that a new edge leaves beside the subject, as a fraction of the new side: what touches the
# edge looks cut (common practice; the number is our choice). An edge that stays needs none.
ROOM_FRACTION = 0.02
# A crop that keeps more of the frame than this removes nothing that anyone would see (common
# practice, no source).
LARGEST_KEPT_FRACTION = 0.985


@dataclass(frozen=True, slots=True)
class Crop:
    """A rectangle to keep, and what would then be as planned."""

    box: Box
    reaches: tuple[Key, ...]


def find_crop(case: Case, reading: MeasuredPhotograph, inside: float) -> Crop | None:
    """Find the largest crop that corrects the most missed items and keeps all that are met.

    Parameters
    ----------
    case : Case
    reading : MeasuredPhotograph
        What the crop is predicted from: the picture itself, or the picture turned.
    inside : float
        Share of each tolerance that may be used: less than 1 lands inside, so that the plan is
        still reached where a little is measured differently after the crop.

    Returns
    -------
    Crop or None
        None if no item that a crop can change was missed, or if no crop corrects one.
    """
    search = _search(case, reading, inside)
    if search is None:
        return None
    best: Crop | None = None
    best_side = 1.0
    for side in np.arange(1.0, LEAST_SIDE_FRACTION - SIDE_STEP / 2, -SIDE_STEP):
        found = search.at(float(side), len(best.reaches) if best else 0)
        if found is not None:
            best, best_side = found, float(side)
            if len(best.reaches) == search.most:
                break
    return None if best is None else _least(search, best, best_side)


@dataclass(frozen=True, slots=True)
class _Search:
    """All that stays the same while crops are looked for."""

    reading: MeasuredPhotograph
    shot: Shot
    plain: Shot  # without its techniques
    tolerances: Tolerances
    wanted: tuple[Key, ...]
    kept: tuple[Key, ...]
    whole: tuple[Box, ...]  # boxes that no crop may cut
    aspect: float
    targets: tuple[Point, ...]

    @property
    def most(self) -> int:
        """How many items could be corrected at best."""
        return len(self.wanted)

    def at(self, side: float, beyond: int) -> Crop | None:
        """The crop of this size that corrects the most items, more than `beyond`."""
        best: Crop | None = None
        for box in self._boxes(side):
            most = len(best.reaches) if best else beyond
            if not self._may_reach(box, most):
                continue
            reaches = self._reaches(box)
            if len(reaches) > most:
                best = Crop(box, reaches)
        return best

    def _may_reach(self, box: Box, beyond: int) -> bool:
        """Whether a crop could correct more than `beyond` items, as far as no technique says.

        Most crops cannot, and techniques take most of the time.
        """
        reading = cropped(self.reading, box, with_techniques=False)
        after = _verdicts(compare(self.plain, reading, self.tolerances))
        if any(after.get(key) is not Verdict.MET for key in self.kept if key[0] != TECHNIQUE):
            return False
        may = [key for key in self.wanted if key[0] == TECHNIQUE or after.get(key) is Verdict.MET]
        return len(may) > beyond

    def _reaches(self, box: Box) -> tuple[Key, ...]:
        after = _verdicts(compare(self.shot, cropped(self.reading, box), self.tolerances))
        if any(after.get(key) is not Verdict.MET for key in self.kept):
            return ()
        return tuple(key for key in self.wanted if after.get(key) is Verdict.MET)

    def _boxes(self, side: float) -> Iterator[Box]:
        reading = self.reading
        subject = reading.subject.value
        if subject is None:
            return
        width = side * min(1.0, self.aspect * reading.height / reading.width)
        height = side * min(1.0, reading.width / (self.aspect * reading.height))
        across = _room(width, [(box.left, box.right) for box in self.whole])
        down = _room(height, [(box.top, box.bottom) for box in self.whole])
        if across is None or down is None:
            return
        places = [
            (subject.centroid.x - target.x * width, subject.centroid.y - target.y * height)
            for target in self.targets
        ]
        places += [(_slid(across, x), _slid(down, y)) for x in SLIDES for y in SLIDES]
        held = (
            (min(max(x, across[0]), across[1]), min(max(y, down[0]), down[1])) for x, y in places
        )
        # Where there is little room, most places are the same.
        for left, top in dict.fromkeys(held):
            box = Box(left, top, left + width, top + height)
            if box.area_fraction <= LARGEST_KEPT_FRACTION:
                yield box


def _room(side: float, things: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """From where to where a crop of this side may begin, so that it cuts no thing.

    The first thing is the subject, beside which a new edge leaves room; an edge that stays where it
    is needs none. None if there is no such place.
    """
    room = ROOM_FRACTION * side
    least, most = 0.0, 1 - side
    for start, end in things:
        least = max(least, min(1.0, end + room) - side)
        most = min(most, max(0.0, start - room))
        room = 0.0
    return (least, most) if least <= most else None


def _slid(ends: tuple[float, float], share: float) -> float:
    return ends[0] + share * (ends[1] - ends[0])


def _search(case: Case, reading: MeasuredPhotograph, inside: float) -> _Search | None:
    shot, tolerances, subject = case.shot, case.tolerances, reading.subject.value
    if shot is None or tolerances is None or subject is None or case.has_border:
        return None
    wanted = tuple(key for key in case.missed if key[0] in PREDICTED)
    if not wanted:
        return None
    on_purpose = {item.quantity for item in case.items if item.on_purpose}
    kept = tuple(
        key_of(item)
        for item in case.items
        if item.verdict is Verdict.MET
        and item.quantity in PREDICTED
        and not ("subject" in on_purpose and item.quantity == "subject_size")
    )
    intent = replace(shot.intent, subject=None) if "subject" in on_purpose else shot.intent
    is_same = reading.width == case.measured.width and reading.height == case.measured.height
    elements = tuple(
        item.match.bbox
        for item in case.items
        if is_same and item.verdict is Verdict.MET and item.match is not None
    )
    ratio = reading.width / reading.height
    aspect = ratio
    if ("aspect_ratio", None) in wanted and intent.aspect_ratio is not None:
        aspect = intent.aspect_ratio.nearest(ratio)
    planned = _of_frame(intent)
    return _Search(
        reading,
        replace(shot, intent=planned),
        replace(shot, intent=replace(planned, techniques=())),
        _tightened(tolerances, inside),
        wanted,
        kept,
        (subject.bbox, *elements),
        aspect,
        _targets(subject, reading, intent),
    )


def _least(search: _Search, crop: Crop, side: float) -> Crop:
    """The largest crop between a size that reaches and the next larger one, which does not."""
    least, most = side, min(1.0, side + SIDE_STEP)
    for _ in range(N_HALVINGS):
        middle = (least + most) / 2
        found = search.at(middle, len(crop.reaches) - 1)
        if found is None:
            most = middle
        else:
            least, crop = middle, found
    return crop


def _of_frame(intent: Intent) -> Intent:
    """What of an intent is predicted; the rest costs time to compare and stays as it is."""
    return Intent(
        techniques=intent.techniques,
        subject=intent.subject,
        aspect_ratio=intent.aspect_ratio,
    )


def _tightened(tolerances: Tolerances, inside: float) -> Tolerances:
    return replace(
        tolerances,
        subject=tolerances.subject * inside,
        subject_size=tolerances.subject_size * inside,
        technique=tolerances.technique * inside,
    )


def _verdicts(items: tuple[ComparedItem, ...]) -> dict[Key, Verdict]:
    return {key_of(item): item.verdict for item in items if item.quantity in PREDICTED}


def _targets(subject: Region, measured: MeasuredPhotograph, intent: Intent) -> tuple[Point, ...]:
    """Where the subject should be in the crop; where it is now if nothing asks for a place."""
    planned = intent.subject
    if planned is not None and planned.zone is not None:
        return (planned.zone.nearest(subject.centroid, measured.width, measured.height),)
    if planned is not None and planned.at is not None:
        return (planned.at,)
    points = (
        measured.technique_fit[one].point
        for one in intent.techniques
        if one in measured.technique_fit
    )
    return tuple(points) or (subject.centroid,)

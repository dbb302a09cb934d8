"""What a change that was tried brings, and whether it loses anything."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.advice.case import OF_COLOUR, OF_FRAME, OF_SET, TO_CORRECT, Case, Key, key_of
from auditor.advice.first_choices import LEAST_TURN_DEG
from auditor.advice.prediction import box_within
from auditor.comparison.compare import compare
from auditor.comparison.item import ComparedItem, Verdict
from auditor.corrections import Change
from auditor.corrections.turning import turned_point
from auditor.geometry import Box
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.series import Series

# The subject that is found after a change is the one from before if the boxes overlap so much:
# their common area over that of both (our choice, no source).
LEAST_OVERLAP = 0.4


@dataclass(frozen=True, slots=True)
class Judged:
    """A change as it was tried.

    Attributes
    ----------
    change : Change
    after : MeasuredPhotograph
    items : tuple of ComparedItem
        The changed picture compared with its shot.
    reaches : tuple of Key
        Items that were missed and now are met.
    rejoins : tuple of str
        Quantities in which the picture left the set and no longer does.
    levels : bool
        Whether a tilted picture is level now.
    lost : tuple of Key
        Items that were met and no longer are, or are newly missed; quantities in which the picture
        newly leaves the set.
    keeps_subject : bool
        Whether the same thing is still the subject.
    """

    change: Change
    after: MeasuredPhotograph
    items: tuple[ComparedItem, ...]
    reaches: tuple[Key, ...]
    rejoins: tuple[str, ...]
    levels: bool
    lost: tuple[Key, ...]
    keeps_subject: bool

    @property
    def gains(self) -> frozenset[object]:
        """All that is better than before."""
        levels = ("level",) if self.levels else ()
        return frozenset((*self.reaches, *self.rejoins, *levels))

    @property
    def is_good(self) -> bool:
        """Whether it may be offered."""
        return bool(self.gains) and not self.lost and self.keeps_subject


def judge(
    case: Case, change: Change, after: MeasuredPhotograph, series: Series, before: Series
) -> Judged:
    """Judge a change by the whole comparison.

    Parameters
    ----------
    case : Case
    change : Change
    after : MeasuredPhotograph
        The picture after it, measured.
    series : Series
        The set described anew with the changed picture in it.
    before : Series
        The set as it is.
    """
    file = case.measured.file
    items: tuple[ComparedItem, ...] = ()
    if case.shot is not None and case.tolerances is not None:
        known = series.temperature_of.get(file)
        mired = None if known is None else known.quantity
        items = compare(case.shot, after, case.tolerances, mired)
    found = {key_of(item): item.verdict for item in items}
    changed = _changed_quantities(change)
    leaves, left = (one.outliers_of.get(file, {}).keys() for one in (series, before))
    gone_out = tuple((name, None) for name in sorted(leaves - left))
    return Judged(
        change=change,
        after=after,
        items=items,
        reaches=tuple(
            key for key in case.missed if key[0] in changed and found.get(key) is Verdict.MET
        ),
        rejoins=tuple(
            name
            for name in OF_SET
            if name in case.off_set and name not in leaves and _may_rejoin(name, change)
        ),
        levels=_is_level(change, after),
        lost=(*_lost(case, found), *gone_out),
        keeps_subject=_keeps_subject(case.measured, change, after),
    )


def _changed_quantities(change: Change) -> frozenset[str]:
    """Planned quantities that a change can truly bring about; others only seem to change."""
    frame = OF_FRAME if change.is_frame else frozenset()
    return frame | (OF_COLOUR if change.is_colour else frozenset())


def _may_rejoin(name: str, change: Change) -> bool:
    return bool(change.turn_deg) if name == "roll" else change.is_colour


def _is_level(change: Change, after: MeasuredPhotograph) -> bool:
    roll = after.roll.value
    return bool(change.turn_deg) and roll is not None and abs(roll.deg) < LEAST_TURN_DEG


def _lost(case: Case, found: dict[Key, Verdict]) -> tuple[Key, ...]:
    lost = []
    for item in case.items:
        after = found.get(key_of(item))
        was_met = item.verdict is Verdict.MET and after is not Verdict.MET
        newly = item.verdict not in TO_CORRECT and after is Verdict.MISSED
        closer = item.verdict is Verdict.CLOSE and after is Verdict.MISSED and not item.on_purpose
        if was_met or newly or closer:
            lost.append(key_of(item))
    return tuple(lost)


def _keeps_subject(before: MeasuredPhotograph, change: Change, after: MeasuredPhotograph) -> bool:
    if before.subject.value is None:
        return True
    if after.subject.value is None:
        return False
    whole = before.subject.value.bbox
    if change.turn_deg:
        middle = turned_point(whole.centre, before.width, before.height, change.turn_deg)
        dx, dy = middle.x - whole.centre.x, middle.y - whole.centre.y
        whole = Box(whole.left + dx, whole.top + dy, whole.right + dx, whole.bottom + dy)
    return _overlap(whole, box_within(change.crop, after.subject.value.bbox)) >= LEAST_OVERLAP


def _overlap(one: Box, other: Box) -> float:
    common = Box(
        max(one.left, other.left),
        max(one.top, other.top),
        min(one.right, other.right),
        min(one.bottom, other.bottom),
    )
    if common.right <= common.left or common.bottom <= common.top:
        return 0.0
    both = one.area_fraction + other.area_fraction - common.area_fraction
    return common.area_fraction / both

"""Try what might help, round by round, and keep what truly does.

What is offered was made of the picture in memory, measured by the whole line, and compared with the
plan and with the set. Each round tries for every picture what the round before still left to do.

The set is described anew with the changed pictures in their places: some of its readings (colour
temperature, exposure) come from what pictures share, so a changed picture cannot be held against
the old centre alone. All pictures of a round are exchanged at once, so that the set is described
once for each place in the row of changes, not once for each change. In a large set only what the
changed pictures can move is computed again (`series.describe_changed`): a small part of the time
that it takes to measure them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from auditor.advice.case import Case, make_case
from auditor.advice.cropping import find_crop
from auditor.advice.first_choices import first_choices, turning_by
from auditor.advice.judging import Judged, judge
from auditor.advice.prediction import box_within
from auditor.corrections import WHOLE_FRAME, Change
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.series.series import Series

TryChanges = Callable[
    [Mapping[str, Sequence[Change]]], Mapping[str, Sequence[MeasuredPhotograph | None]]
]
Describe = Callable[[Sequence[MeasuredPhotograph]], Series]

# The first round tries what the readings call for, the others what is then left to do (our choice,
# no source). Each change costs about as much as measuring the picture.
N_ROUNDS = 3
PLAIN_WITHIN = 0.002  # of a side: the crop after a turn takes the empty corners alone
MOST_CHANGES = 3  # of one picture in each round after the first
# Shares of the tolerances that a crop may use: the first takes the least; the second lands farther
# inside, in case that a little is measured differently in the crop (our choice, no source).
LEAST_CROP, SAFE_CROP, BETWEEN = 0.95, 0.6, 0.8
# If no crop is predicted to reach, one that nearly does is tried all the same: subject and size are
# often measured a little differently in the crop.
HOPEFUL_CROP = 1.5


@dataclass
class PictureTrials:
    """What was tried on one picture."""

    case: Case
    tried: list[Tried] = field(default_factory=list)

    @property
    def good(self) -> list[Tried]:
        """What may be offered."""
        return [one for one in self.tried if one.judged.is_good]

    def has(self, change: Change) -> bool:
        """Whether a change was tried already."""
        return any(one.judged.change == change for one in self.tried)


@dataclass(frozen=True, slots=True)
class Tried:
    """A change that was tried.

    Attributes
    ----------
    judged : Judged
    left : Case
        What the changed picture still lacks.
    series : Series
        The set with the changed picture in it.
    """

    judged: Judged
    left: Case
    series: Series


def try_corrections(
    cases: Sequence[Case],
    series: Series,
    measured: Sequence[MeasuredPhotograph],
    try_changes: TryChanges,
    describe: Describe,
) -> dict[str, PictureTrials]:
    """Try corrections of all pictures that lack something.

    Parameters
    ----------
    cases : sequence of Case
    series : Series
        The set as it is.
    measured : sequence of MeasuredPhotograph
        All pictures of the set, in their order.
    try_changes : callable
        Measures pictures after changes, by file.
    describe : callable
        Describes the set with changed pictures in their places, as `series` describes it as it is.

    Returns
    -------
    dict of str to PictureTrials
        By file; pictures on which nothing was tried are left out.
    """
    trials = {case.measured.file: PictureTrials(case) for case in cases}
    wanted = {file: _first(one.case) for file, one in trials.items()}
    for _ in range(N_ROUNDS):
        wanted = {file: changes for file, changes in wanted.items() if changes}
        if not wanted:
            break
        _try_round(wanted, trials, series, measured, try_changes, describe)
        wanted = {file: list(_next(trials[file], wanted[file])) for file in wanted}
    together = {
        file: [change]
        for file, one in trials.items()
        if (change := _together(one)) is not None and not one.has(change)
    }
    if together:
        _try_round(together, trials, series, measured, try_changes, describe)
    return {file: one for file, one in trials.items() if one.tried}


def _try_round(
    wanted: Mapping[str, Sequence[Change]],
    trials: Mapping[str, PictureTrials],
    before: Series,
    measured: Sequence[MeasuredPhotograph],
    try_changes: TryChanges,
    describe: Describe,
) -> None:
    readings = try_changes(wanted)
    for place in range(max(len(changes) for changes in wanted.values())):
        changed = {
            file: after
            for file, found in readings.items()
            if place < len(found) and (after := found[place]) is not None
        }
        if not changed:
            continue
        series = describe([changed.get(one.file, one) for one in measured])
        for file, after in changed.items():
            one = trials[file]
            case = one.case
            judged = judge(case, wanted[file][place], after, series, before)
            left = make_case(after, case.shot, judged.items, series, case.tolerances)
            one.tried.append(Tried(judged, left, series))


def _first(case: Case) -> list[Change]:
    crops = [find_crop(case, case.measured, inside) for inside in (LEAST_CROP, SAFE_CROP)]
    if not any(crops):
        crops = [find_crop(case, case.measured, HOPEFUL_CROP)]
    framed = [Change(crop=crop.box).rounded() for crop in crops if crop is not None]
    return _distinct([*first_choices(case), *framed])


def _next(trials: PictureTrials, last: Sequence[Change]) -> Iterator[Change]:
    """What to try after a round: corrections of what the changed pictures still lack."""
    latest = [one for one in trials.tried if one.judged.change in last]
    latest.sort(key=lambda one: (len(one.judged.lost), -len(one.judged.gains)))
    found = [*_between(trials), *(change for one in latest for change in _after(one, trials))]
    yield from [one for one in _distinct(found) if not trials.has(one)][:MOST_CHANGES]


def _between(trials: PictureTrials) -> Iterator[Change]:
    """A smaller crop, if only the one that lands far inside has reached."""
    crops = [one for one in trials.tried if _is_crop(one.judged.change)]
    if len(crops) > 1 and any(one.judged.is_good for one in crops):
        largest = max(crops, key=lambda one: one.judged.change.crop.area_fraction)
        if not largest.judged.is_good:
            crop = find_crop(trials.case, trials.case.measured, BETWEEN)
            if crop is not None:
                yield Change(crop=crop.box).rounded()


def _after(one: Tried, trials: PictureTrials) -> Iterator[Change]:
    """What would correct what is left after a change, together with that change."""
    change = one.judged.change
    if one.judged.is_good and not change.turn_deg and not change.is_colour:
        return
    for more in first_choices(one.left):
        if change.is_colour and more.is_colour:
            yield _with_colours(change, more).rounded()
        elif change.turn_deg and more.turn_deg and not change.is_colour:
            yield turning_by(trials.case.measured, change.turn_deg + more.turn_deg)
    if change.is_frame and not trials.case.has_border:
        crop = find_crop(one.left, one.judged.after, BETWEEN)
        if crop is not None:
            yield replace(change, crop=box_within(change.crop, crop.box)).rounded()


def _together(trials: PictureTrials) -> Change | None:
    """All that is offered in one version; None if that is one change, or cannot be made at once."""
    chosen = [one.judged.change for one in choose(trials)]
    frames = [change for change in chosen if change.is_frame]
    if len(chosen) < 2 or len(frames) > 1:
        return None
    whole = Change() if not frames else frames[0]
    for change in chosen:
        if not change.is_frame:
            whole = _with_colours(whole, change)
    return whole.rounded()


def _with_colours(change: Change, more: Change) -> Change:
    """A change with the colours of another on top."""
    return replace(
        change,
        mired=change.mired + more.mired,
        exposure_ev=change.exposure_ev + more.exposure_ev,
        saturation=change.saturation * more.saturation,
    )


def choose(trials: PictureTrials) -> list[Tried]:
    """What is offered: single changes, or one combined version where singles do not suffice."""
    good = trials.good
    singles = _adding(sorted((one for one in good if not is_combined(one)), key=_order))
    reached = frozenset(gain for one in singles for gain in one.judged.gains)
    combined = sorted((one for one in good if is_combined(one)), key=_order)
    n_frames = sum(one.judged.change.is_frame for one in singles)
    for one in combined:
        gains = one.judged.gains
        # A turn and a crop that were tried alone cannot be made one after the other.
        if gains > reached or (gains == reached and n_frames > 1):
            return [one]
    return singles


def proof_of(trials: PictureTrials) -> Tried | None:
    """The version that has all that is offered, or the most of it; None if nothing is offered."""
    chosen = choose(trials)
    if not chosen:
        return None
    reached = frozenset(gain for one in chosen for gain in one.judged.gains)
    whole = [one for one in trials.good if one.judged.gains >= reached]
    return min(whole or chosen, key=_order)


def is_combined(one: Tried) -> bool:
    """Whether several things are done at once; a turn with the crop that it needs is one thing."""
    change, measured = one.judged.change, one.left.measured
    parts = [change.mired, change.exposure_ev, change.saturation - 1]
    n_parts = sum(bool(part) for part in parts) + change.is_frame
    if not change.turn_deg:
        return n_parts > 1
    return n_parts > 1 or not is_plain_turn(change, measured)


def is_plain_turn(change: Change, measured: MeasuredPhotograph) -> bool:
    """Whether a turn is followed only by the crop that takes its empty corners."""
    left, top, right, bottom = change.crop
    margins = (left, top, 1 - right, 1 - bottom)
    plain = turning_by(measured, change.turn_deg).crop.left
    # The ratio of what is left differs from that of the whole by less than a pixel.
    return max(abs(margin - plain) for margin in margins) < PLAIN_WITHIN


def _adding(sorted_by_gain: Sequence[Tried]) -> list[Tried]:
    """Of several changes those that each bring something that those before do not."""
    chosen: list[Tried] = []
    reached: set[object] = set()
    for one in sorted_by_gain:
        if one.judged.gains - reached:
            chosen.append(one)
            reached |= one.judged.gains
    return chosen


def _order(one: Tried) -> tuple[int, float, float]:
    """Most gains first, then the least that is taken of the frame, then the smallest change."""
    change = one.judged.change
    # In just noticeable steps: 5 mired, a third of an EV, a tenth of the saturation (from memory).
    size = abs(change.mired) / 5 + abs(change.exposure_ev) * 3 + abs(change.saturation - 1) * 10
    return -len(one.judged.gains), -change.crop.area_fraction, size


def _is_crop(change: Change) -> bool:
    return change.crop != WHOLE_FRAME and not change.turn_deg and not change.is_colour


def _distinct(changes: Sequence[Change]) -> list[Change]:
    return [one for one in dict.fromkeys(changes) if not one.is_nothing]

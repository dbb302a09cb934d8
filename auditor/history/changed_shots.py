"""Shots that came, went or are called otherwise, and pictures that are of another shot."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from auditor.history.changed_plan import is_of_other_shot
from auditor.history.paired_pictures import Pair, PairedPictures
from auditor.record.audit_record import AuditRecord, ShotRecord
from auditor.record.picture_record import MeasuredPictureRecord


@dataclass(frozen=True, slots=True)
class ShotChanges:
    """What changed about shots.

    Attributes
    ----------
    new, lost : tuple of ShotRecord
        Planned now, and no longer.
    filled, emptied : tuple of ShotRecord
        With a picture now that was there before, and without one now. That a shot is filled by a
        picture that was added stands with the picture.
    renamed : mapping of str to str
        By the name then, the name now.
    moved : tuple of Pair
        Pictures that are of another shot, or of none.
    turned : tuple of Pair
        Pictures that are compared with the other one of a composition and its mirror image.
    """

    new: tuple[ShotRecord, ...]
    lost: tuple[ShotRecord, ...]
    filled: tuple[ShotRecord, ...]
    emptied: tuple[ShotRecord, ...]
    renamed: Mapping[str, str]
    moved: tuple[Pair, ...]
    turned: tuple[Pair, ...]


def compare_shots(before: AuditRecord, after: AuditRecord, pictures: PairedPictures) -> ShotChanges:
    """Compare the shots of two audits that both have a plan."""
    renamed = renamed_shots(before, after, pictures)
    then = {renamed.get(shot.name, shot.name): shot for shot in before.shots}
    now = {shot.name: shot for shot in after.shots}
    both = [(then[name], shot) for name, shot in now.items() if name in then]
    added = {picture.file for picture in pictures.added}
    moved = tuple(pair for pair in pictures.pairs if _is_moved(pair, renamed))
    moved_names = {pair.after.file for pair in moved}
    return ShotChanges(
        new=tuple(shot for name, shot in now.items() if name not in then),
        lost=tuple(shot for name, shot in then.items() if name not in now),
        filled=tuple(
            b
            for a, b in both
            if a.missing and not b.missing and not (added | moved_names).intersection(b.files)
        ),
        emptied=tuple(b for a, b in both if b.missing and not a.missing),
        renamed=renamed,
        moved=moved,
        turned=tuple(pair for pair in pictures.pairs if _is_turned(pair)),
    )


def renamed_shots(
    before: AuditRecord, after: AuditRecord, pictures: PairedPictures
) -> dict[str, str]:
    """Shots that are called otherwise: all their pictures are of one shot that is new."""
    then, now = ({shot.name for shot in one.shots} for one in (before, after))
    ways: dict[str, set[str]] = {}
    for pair in pictures.pairs:
        first, second = pair.plans
        if first is not None and second is not None and first.shot not in now:
            ways.setdefault(first.shot, set()).add(second.shot)
    found = {old: next(iter(new)) for old, new in ways.items() if len(new) == 1}
    counts = Counter(found.values())
    return {old: new for old, new in found.items() if new not in then and counts[new] == 1}


def _is_moved(pair: Pair, renamed: Mapping[str, str]) -> bool:
    before, after = pair.plans
    if before is not None and after is not None:
        return is_of_other_shot(before, after, renamed)
    is_measured = all(isinstance(one, MeasuredPictureRecord) for one in (pair.before, pair.after))
    return is_measured and before is not after


def _is_turned(pair: Pair) -> bool:
    before, after = pair.plans
    return before is not None and after is not None and before.mirrored != after.mirrored

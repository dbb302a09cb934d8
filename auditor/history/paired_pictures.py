"""Which picture of a later audit is which of an earlier one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord, PictureRecord
from auditor.record.plan_records import PicturePlanRecord


@dataclass(frozen=True, slots=True)
class Pair:
    """One picture in two audits: the same bytes, or other bytes under the same name."""

    before: PictureRecord
    after: PictureRecord

    @property
    def is_renamed(self) -> bool:
        """Whether it is the same file under another name."""
        return self.before.file != self.after.file

    @property
    def is_replaced(self) -> bool:
        """Whether another file has its name, or it could be measured only once."""
        return content_of(self.before) != content_of(self.after)

    @property
    def plans(self) -> tuple[PicturePlanRecord | None, PicturePlanRecord | None]:
        """What it was compared with, then and now."""
        return plan_of(self.before), plan_of(self.after)


@dataclass(frozen=True, slots=True)
class PairedPictures:
    """The pictures of two audits; pairs and what was added are in the order of the later one."""

    pairs: tuple[Pair, ...]
    added: tuple[PictureRecord, ...]
    removed: tuple[PictureRecord, ...]

    @property
    def names_now(self) -> dict[str, str]:
        """By the name in the earlier audit, that in the later one."""
        return {pair.before.file: pair.after.file for pair in self.pairs}

    @property
    def is_other_set(self) -> bool:
        """Whether the pictures that are compared with each other are not all the same."""
        return bool(self.added or self.removed or any(pair.is_replaced for pair in self.pairs))


def content_of(picture: PictureRecord) -> str:
    """What stands for the bytes of a picture; empty for one that could not be measured."""
    return picture.sha256 if isinstance(picture, MeasuredPictureRecord) else ""


def plan_of(picture: PictureRecord) -> PicturePlanRecord | None:
    """What a picture was compared with."""
    return picture.plan if isinstance(picture, MeasuredPictureRecord) else None


def pair_pictures(before: AuditRecord, after: AuditRecord) -> PairedPictures:
    """Pair the pictures of two audits.

    The same bytes come first, under the same name if there is one, then the same name with other
    bytes. A picture that is there twice is paired once with each.
    """
    left = list(before.images)
    found: dict[int, PictureRecord] = {}
    for key in (_name_and_content, _content_alone, _name_alone):
        _pair_by(key(left), key(after.images), left, after.images, found)
    pairs = tuple(
        Pair(found[place], picture) for place, picture in enumerate(after.images) if place in found
    )
    taken = {id(pair.before) for pair in pairs}
    return PairedPictures(
        pairs,
        tuple(picture for place, picture in enumerate(after.images) if place not in found),
        tuple(picture for picture in before.images if id(picture) not in taken),
    )


def _pair_by(
    keys_left: Sequence[object],
    keys_right: Sequence[object],
    left: list[PictureRecord],
    right: Sequence[PictureRecord],
    found: dict[int, PictureRecord],
) -> None:
    """Pair what has the same key; what was paired leaves `left`, None is no key."""
    waiting: dict[object, list[PictureRecord]] = defaultdict(list)
    for key, picture in zip(keys_left, left, strict=True):
        if key is not None:
            waiting[key].append(picture)
    for place in range(len(right)):
        if place not in found and waiting.get(keys_right[place]):
            found[place] = waiting[keys_right[place]].pop(0)
    taken = {id(picture) for picture in found.values()}
    left[:] = [picture for picture in left if id(picture) not in taken]


def _name_and_content(pictures: Iterable[PictureRecord]) -> list[object]:
    return [(picture.file, content_of(picture)) for picture in pictures]


def _content_alone(pictures: Iterable[PictureRecord]) -> list[object]:
    return [content_of(picture) or None for picture in pictures]


def _name_alone(pictures: Iterable[PictureRecord]) -> list[object]:
    return [picture.file for picture in pictures]

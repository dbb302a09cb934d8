"""The planned shots as the page shows them: their pictures with what they keep of the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from auditor.output.previews import Preview
from auditor.page.links import Link, Source, link_to, source_of
from auditor.page.picture_view import Tally, tally
from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.matches import shot_note


@dataclass(frozen=True, slots=True)
class ShotPicture:
    """A picture of a shot; the note says if it was assumed, and if it keeps the plan best."""

    link: Link
    source: Source | None
    tallies: tuple[Tally, ...]
    note: str


@dataclass(frozen=True, slots=True)
class ShotView:
    """A planned shot and its pictures."""

    name: str
    pictures: tuple[ShotPicture, ...]
    missing: bool


def shot_views(
    record: AuditRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> tuple[ShotView, ...]:
    """Make the page's data of the shots, in the order of the plan."""
    plans = {
        picture.file: picture.plan
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None
    }
    return tuple(
        ShotView(
            shot.name,
            tuple(
                ShotPicture(
                    link_to(file, links),
                    source_of(previews.get(file)),
                    tally(plans[file].items) if file in plans else (),
                    shot_note(plans[file]) if file in plans else "",
                )
                for file in shot.files
            ),
            shot.missing,
        )
        for shot in record.shots
    )

"""How the page points at its own pictures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from auditor.output.previews import PICTURES_FOLDER, Preview
from auditor.record.picture_record import (
    PictureRecord,
)
from auditor.safe_text import one_line


@dataclass(frozen=True, slots=True)
class Link:
    """A picture of the set: its number, the place on the page and its name."""

    number: int
    anchor: str
    name: str


@dataclass(frozen=True, slots=True)
class Source:
    """A picture that the page shows: percent-encoded addresses and pixel size."""

    large: str
    small: str
    width: int
    height: int
    ratio: str


@dataclass(frozen=True, slots=True)
class LinkedPicture:
    """A picture of the set; without a source where it has no preview."""

    link: Link
    source: Source | None


def link_pictures(images: Sequence[PictureRecord]) -> dict[str, Link]:
    """Number the pictures in the order of the record, from 1."""
    return {
        picture.file: Link(number, f"picture-{number}", one_line(picture.file))
        for number, picture in enumerate(images, start=1)
    }


def link_to(file: str, links: Mapping[str, Link]) -> Link:
    """The link of a picture; one without a place on the page where the record holds none."""
    return links.get(file) or Link(0, "", one_line(file))


def source_of(preview: Preview | None) -> Source | None:
    """Where the page finds a picture's previews."""
    if preview is None:
        return None
    return Source(
        f"{PICTURES_FOLDER}/{quote(preview.file)}",
        f"{PICTURES_FOLDER}/{quote(preview.small_file)}",
        preview.width,
        preview.height,
        f"{preview.width / preview.height:.4f}",
    )


def linked_pictures(
    files: Iterable[str], links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> tuple[LinkedPicture, ...]:
    """Some pictures of the set, each with its preview."""
    return tuple(
        LinkedPicture(link_to(file, links), source_of(previews.get(file))) for file in files
    )

"""The controls that find and order pictures, for the script of the page.

Without scripts they stay hidden, and all pictures are there in the order of the set.
"""

from __future__ import annotations

import hashlib
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from markupsafe import Markup

from auditor.page.links import Link
from auditor.record.audit_record import AuditRecord
from auditor.wording.controls import (
    CONTROL_TEXTS,
    ORDERS,
    VERDICT_CHOICES,
    files_by_order,
    kinds_by_file,
    kinds_in,
    shot_of,
    verdicts_of,
)

LEAST_PICTURES = 9  # more than one row of a wide contact sheet; our choice, no source


@dataclass(frozen=True, slots=True)
class Choice:
    """A value of a list to choose from, with its words."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class Marks:
    """What a picture is found by: `has` names choices, `places` is its place in each order."""

    shot: str
    has: str
    places: str


@dataclass(frozen=True, slots=True)
class ControlsView:
    """The controls; `marks` by the pictures' places on the page, a list is empty if of no use."""

    texts: dict[str, str]
    verdicts: tuple[Choice, ...]
    kinds: tuple[Choice, ...]
    orders: tuple[Choice, ...]
    marks: Mapping[str, Marks]
    n_pictures: int


def controls_view(record: AuditRecord, links: Mapping[str, Link]) -> ControlsView | None:
    """Make the controls of a page; None for a set that is seen at once."""
    if not record.images[LEAST_PICTURES - 1 :]:
        return None
    kinds = {words: f"kind-{number}" for number, words in enumerate(kinds_in(record))}
    kinds_of = kinds_by_file(record)
    orders = files_by_order(record)
    places = {
        name: {file: place for place, file in enumerate(order)} for name, order in orders.items()
    }
    verdicts = {picture.file: verdicts_of(picture) for picture in record.images}
    there = {verdict for found in verdicts.values() for verdict in found}
    marks = {
        links[picture.file].anchor: Marks(
            shot_of(picture),
            " ".join(
                [
                    *verdicts[picture.file],
                    *(kinds[kind] for kind in kinds if kind in kinds_of.get(picture.file, ())),
                ]
            ),
            " ".join(str(places[name][picture.file]) for name in places),
        )
        for picture in record.images
    }
    return ControlsView(
        CONTROL_TEXTS,
        tuple(Choice(value, words) for value, words in VERDICT_CHOICES.items() if value in there),
        tuple(Choice(value, words) for words, value in kinds.items()),
        tuple(Choice(name, ORDERS[name]) for name in orders),
        marks,
        len(record.images),
    )


@cache
def page_script() -> Markup:
    """The script of the page as it stands in it."""
    text = (files("auditor.page") / "static" / "page.js").read_text(encoding="utf-8")
    return Markup(text)  # noqa: S704 - a file of this program, without foreign text


@cache
def script_source() -> str:
    """The script as a source that the page's policy allows, by its hash (CSP Level 3, 2.3.1)."""
    digest = hashlib.sha256(page_script().encode("utf-8")).digest()
    return f"'sha256-{b64encode(digest).decode('ascii')}'"

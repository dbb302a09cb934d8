"""Every word and phrase that a plan understands, as a text of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from auditor.vocabulary.camera_angle import listed_angles
from auditor.vocabulary.colours import listed_colours
from auditor.vocabulary.diagonals import listed_diagonals
from auditor.vocabulary.empty_space import listed_space
from auditor.vocabulary.how_many import listed_numbers
from auditor.vocabulary.light import listed_light
from auditor.vocabulary.listed import Listed
from auditor.vocabulary.place_list import listed_places, listed_relations
from auditor.vocabulary.ratios import listed_ratios
from auditor.vocabulary.shares import listed_shares
from auditor.vocabulary.sizes import listed_sizes
from auditor.vocabulary.techniques import listed_techniques
from auditor.vocabulary.temperatures import listed_temperatures

COLUMNS = 80
WORDS_COLUMN = 26  # where the meanings begin
_INDENT = 2


@dataclass(frozen=True, slots=True)
class Section:
    """The phrases of one key of a plan.

    Attributes
    ----------
    head : str
        How the key is written.
    note : str
        What holds for all its phrases.
    listed : tuple of Listed
    """

    head: str
    note: str
    listed: tuple[Listed, ...]


def sections() -> tuple[Section, ...]:
    """All phrases by the key that they belong to, in the order of a plan."""
    return (
        Section(
            'technique = "…"',
            'Of several, ["rule of thirds", "centred"], any will do.',
            listed_techniques(),
        ),
        Section(
            'subject = { at = "…" }',
            'A place; also plain, subject = "upper right", and with a size, '
            '"large, upper right". Inside the area all is as planned.',
            listed_places(),
        ),
        Section(
            'subject = { size = "…" }',
            'How much of the frame it takes; also plain, subject = "large".',
            (*listed_sizes(), *listed_shares()),
        ),
        Section(
            "supporting = [ … ]",
            'Names: "cloth", ["spoon", "fork"], or how many: 3. With a place: '
            '"cloth behind" or { name = "cloth", at = "behind", size = "small" }. '
            "Places as for the subject, and these:",
            listed_relations(),
        ),
        Section('camera_elevation = "…"', "Of several, any will do.", listed_angles()),
        Section('light = "…"', "Of several, any will do.", listed_light()),
        Section(
            'negative_space = "…"',
            "Of several sides any will do. Shares as for the size of the subject.",
            listed_space(),
        ),
        Section('diagonal = "…"', "", listed_diagonals()),
        Section(
            'colour_temperature = "…"',
            "The look of the finished picture, by its whites; not the white balance preset of the "
            "camera and not the slider of the raw converter. Of several, any will do.",
            listed_temperatures(),
        ),
        Section('aspect_ratio = "…"', "", listed_ratios()),
        Section(
            'palette, background, surface = "…"',
            "Every colour of a palette must be there; of several backgrounds or surfaces "
            'any will do. "Board", "table", "backdrop" and the like may follow.',
            listed_colours(),
        ),
        Section(
            'count = "…"',
            "How many things of a supporting element there are; a name may begin with it, "
            '"three bowls". The same words stand in [set] for numbers of pictures: pictures, '
            "portrait, landscape, square, overhead, high, three_quarter, low, straight_on, and "
            "hero, a picture whose subject is at least 1.5 times as large as in the median "
            "picture.",
            listed_numbers(),
        ),
        Section(
            '[set] neighbours = "…"',
            "What pictures that follow each other must not share.",
            (Listed("different angles", "no two are seen from one camera angle"),),
        ),
    )


def word_list() -> str:
    """The list for a terminal or a file, ending with a line end."""
    blocks = ("\n".join(_block(section)) for section in sections())
    return "\n\n".join(blocks) + "\n"


def _block(section: Section) -> Iterator[str]:
    yield section.head
    if section.note:
        yield from textwrap.wrap(
            section.note, COLUMNS, initial_indent=" " * _INDENT, subsequent_indent=" " * _INDENT
        )
    for one in section.listed:
        yield from _entry(one)


def _entry(one: Listed) -> Iterator[str]:
    room = WORDS_COLUMN - _INDENT - 1
    heads = textwrap.wrap(one.words, COLUMNS - _INDENT if len(one.words) > room else room)
    also = f"; also {_either(one.also)}" if one.also else ""
    meanings = textwrap.wrap(f"{one.meaning}{also}", COLUMNS - WORDS_COLUMN)
    if len(one.words) <= room:
        yield f"{' ' * _INDENT}{one.words:<{WORDS_COLUMN - _INDENT}}{meanings[0]}"
        meanings = meanings[1:]
    else:
        yield from (f"{' ' * _INDENT}{line}" for line in heads)
    yield from (" " * WORDS_COLUMN + line for line in meanings)


def _either(words: Sequence[str]) -> str:
    return ", ".join(words)
